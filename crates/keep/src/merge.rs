//! Two texts made from the same one, brought together line by line where they change different places.

/// The text with the changes of both, `None` where they change the same lines in different ways.
///
/// Lines that touch count as different places only where `diffy` can tell the two changes apart.
pub(crate) fn merged(base: &str, ours: &str, theirs: &str) -> Option<String> {
    if ours == theirs || theirs == base {
        return Some(ours.to_owned());
    }
    if ours == base {
        return Some(theirs.to_owned());
    }
    diffy::merge(base, ours, theirs).ok()
}
