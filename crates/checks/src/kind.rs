//! Kinds of fixtures as rules tell them apart, so that no names are compared while looking.

use wyeline_network::kinds::{self, Trap};

/// A kind of fixture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Water closet.
    Closet,
    /// Urinal.
    Urinal,
    /// Lavatory.
    Lavatory,
    /// Bidet.
    Bidet,
    /// Bathtub.
    Bathtub,
    /// Shower.
    Shower,
    /// Kitchen sink.
    KitchenSink,
    /// Bar or hand sink.
    BarSink,
    /// Service or mop sink.
    ServiceSink,
    /// Laundry tray.
    LaundryTray,
    /// Sink with three compartments.
    ThreeCompartmentSink,
    /// Clothes washer with its standpipe.
    ClothesWasher,
    /// Drinking fountain.
    DrinkingFountain,
    /// Floor drain.
    FloorDrain,
    /// Floor sink.
    FloorSink,
    /// Any other.
    Other,
}

impl Kind {
    /// By the name in the rough-in table; aliases too.
    pub fn named(name: &str) -> Self {
        let name = kinds::kinds()
            .get(name)
            .map_or(name, |kind| kind.name.as_str());
        match name {
            "water-closet" => Self::Closet,
            "urinal" => Self::Urinal,
            "lavatory" => Self::Lavatory,
            "bidet" => Self::Bidet,
            "bathtub" => Self::Bathtub,
            "shower" => Self::Shower,
            "kitchen-sink" => Self::KitchenSink,
            "bar-sink" => Self::BarSink,
            "service-sink" => Self::ServiceSink,
            "laundry-tray" => Self::LaundryTray,
            "three-compartment-sink" => Self::ThreeCompartmentSink,
            "clothes-washer" => Self::ClothesWasher,
            "drinking-fountain" => Self::DrinkingFountain,
            "floor-drain" => Self::FloorDrain,
            "floor-sink" => Self::FloorSink,
            _ => Self::Other,
        }
    }

    /// Belongs to a bathroom group: closet, lavatory, bath or shower, bidet, and the floor drain of the room.
    pub const fn of_bathroom(self) -> bool {
        matches!(
            self,
            Self::Closet
                | Self::Lavatory
                | Self::Bidet
                | Self::Bathtub
                | Self::Shower
                | Self::FloorDrain
        )
    }

    /// A sink or lavatory: what may stand on an island vent.
    pub const fn is_sink(self) -> bool {
        matches!(
            self,
            Self::Lavatory
                | Self::KitchenSink
                | Self::BarSink
                | Self::ServiceSink
                | Self::LaundryTray
                | Self::ThreeCompartmentSink
        )
    }
}

/// How a kind is trapped; nothing for kinds that the table does not have.
pub fn trap_of(name: &str) -> Option<Trap> {
    kinds::kinds().get(name).map(|kind| kind.trap)
}
