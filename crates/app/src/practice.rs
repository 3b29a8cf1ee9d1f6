//! What the practice page asks: exercises, drawings kept, marks, the key as steps, questions, and what the learner has done.
//!
//! Everything comes from `lesson`; what is kept stays on this machine (`keep::practice`).

use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde::Deserialize;
use serde_json::{Value, json};
use wyeline_codes::Pack;
use wyeline_draw::Corner;
use wyeline_keep::practice::{Marked, Practice};
use wyeline_lesson::mark::{self, Rubric};
use wyeline_lesson::{Code, Drawing, Exercise, Level, handout};

use crate::open::now;
use crate::refusal::Refusal;
use crate::routes::{Json, Query};
use crate::shop::Shop;

/// The addresses of the practice page.
pub fn routes() -> Router<Shop> {
    Router::new()
        .route("/api/practice", get(home))
        .route("/api/practice/exercise", get(exercise))
        .route("/api/practice/steps", get(steps))
        .route("/api/practice/questions", get(questions))
        .route("/api/practice/answers", post(answers))
        .route("/api/practice/keep", post(keep))
        .route("/api/practice/mark", post(marked))
        .route("/api/practice/forget", post(forget))
}

async fn home(State(shop): State<Shop>) -> Result<Response, Refusal> {
    let told = shop.work(|desk| {
        let levels = Level::all().into_iter().map(|level| {
            json!({ "number": level.number(), "name": level.facts().name, "learnt": level.facts().learnt, "asks": handout::asks(level) })
        });
        let codes = Pack::all().iter().filter(|pack| handout::carries(pack));
        let codes = codes.map(|pack| json!({ "id": pack.id(), "name": pack.name() }));
        Ok(json!({
            "levels": levels.collect::<Vec<_>>(),
            "codes": codes.collect::<Vec<_>>(),
            "progress": desk.practice().map_or_else(Vec::new, |practice| practice.done()),
        }))
    });
    Ok(axum::Json(told.await?).into_response())
}

/// Which exercise: by its code, or by what it is made from.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Which {
    #[serde(default)]
    code: String,
    #[serde(default)]
    level: u8,
    #[serde(default)]
    practice: String,
    /// By the clock where not said.
    seed: Option<u32>,
    #[serde(default)]
    member: u16,
    /// The corner of the steps; the learner's where not said.
    #[serde(default)]
    corner: String,
}

impl Which {
    fn exercise(&self) -> Result<Exercise, Refusal> {
        let code = if self.code.is_empty() {
            let level = Level::new(self.level)
                .ok_or_else(|| Refusal::missing(format!("there is no level {}", self.level)))?;
            let seed = self
                .seed
                .unwrap_or_else(|| (now() % u64::from(wyeline_lesson::code::SEEDS)) as u32);
            let practice = if self.practice.is_empty() {
                "ipc-2021"
            } else {
                &self.practice
            };
            Code::new(level, practice, seed, self.member)
        } else {
            self.code.parse()
        };
        let code = code.map_err(|error| Refusal::wrong(error.to_string()))?;
        Exercise::of(code).map_err(|error| Refusal::wrong(error.to_string()))
    }
}

fn of_code(code: &str) -> Result<Exercise, Refusal> {
    let code: Code = code
        .parse()
        .map_err(|error: wyeline_lesson::code::CodeError| Refusal::wrong(error.to_string()))?;
    Exercise::of(code).map_err(|error| Refusal::wrong(error.to_string()))
}

async fn exercise(
    State(shop): State<Shop>,
    Query(which): Query<Which>,
) -> Result<Response, Refusal> {
    let told = shop.work(move |desk| {
        let exercise = which.exercise()?;
        let kept = desk
            .practice()
            .and_then(|practice| practice.drawing(&exercise.name()));
        let kept = kept.and_then(|text| serde_json::from_str::<Value>(&text).ok());
        let (width, height) = handout::paper(&exercise);
        let plans = handout::plans(&exercise).map_err(|error| Refusal::wrong(error.to_string()))?;
        let plans: Vec<String> = plans.iter().map(wyeline_exchange::svg_in_page).collect();
        Ok(json!({
            "code": exercise.name(),
            "level": exercise.code.map_or(0, |code| code.level.number()),
            "title": exercise.title,
            "brief": exercise.brief,
            "corner": exercise.corner.word(),
            "scale": wyeline_sheet::scale_words(exercise.scale),
            "pitch": exercise.pitch_mm,
            "width": width,
            "height": height,
            "letters": handout::letters(&exercise),
            "plans": plans,
            "drawing": kept,
        }))
    });
    Ok(axum::Json(told.await?).into_response())
}

async fn steps(State(shop): State<Shop>, Query(which): Query<Which>) -> Result<Response, Refusal> {
    let told = shop.work(move |_| {
        let exercise = which.exercise()?;
        let corner = Corner::ALL.into_iter().find(|corner| corner.word() == which.corner);
        let steps = handout::steps(&exercise, corner.unwrap_or(exercise.corner));
        let steps = steps.iter().map(|step| json!({ "title": step.title, "sentence": step.sentence, "svg": wyeline_exchange::svg_in_page(&step.sheet) }));
        Ok(json!({ "steps": steps.collect::<Vec<_>>() }))
    });
    Ok(axum::Json(told.await?).into_response())
}

async fn questions(
    State(shop): State<Shop>,
    Query(which): Query<Which>,
) -> Result<Response, Refusal> {
    let told = shop.work(move |_| {
        let asked = handout::questions(&which.exercise()?, ASKED);
        if asked.questions.is_empty() {
            return Err(Refusal::missing("there are no questions about this one: draw it".to_owned()));
        }
        let questions = (1..).zip(&asked.questions).map(|(number, question): (u32, _)| {
            json!({ "number": number, "words": question.words, "options": question.answer.options(), "hint": question.hint() })
        });
        Ok(json!({ "svg": asked.drawing.as_ref().map(wyeline_exchange::svg_in_page), "questions": questions.collect::<Vec<_>>() }))
    });
    Ok(axum::Json(told.await?).into_response())
}

/// So many questions are asked of one drawing; our own choice.
const ASKED: usize = 6;

/// What a learner answers, in the order of the questions.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Answered {
    code: String,
    answers: Vec<String>,
}

async fn answers(
    State(shop): State<Shop>,
    Json(answered): Json<Answered>,
) -> Result<Response, Refusal> {
    let told = shop.work(move |_| {
        let asked = handout::questions(&of_code(&answered.code)?, ASKED);
        let judged = asked
            .questions
            .iter()
            .zip(&answered.answers)
            .map(|(question, answer)| {
                let right = question.is_right(answer);
                let why = match &right {
                    Ok(_) => question.why.clone(),
                    Err(words) => words.clone(),
                };
                json!({ "right": right.unwrap_or(false), "key": question.key(), "why": why })
            });
        Ok(json!({ "answers": judged.collect::<Vec<_>>() }))
    });
    Ok(axum::Json(told.await?).into_response())
}

/// A drawing, as the page sends it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Drawn {
    drawing: Drawing,
}

/// Where the learner's work is kept.
fn kept(practice: Option<Practice>) -> Result<Practice, Refusal> {
    practice.ok_or_else(|| {
        Refusal::wrong(
            "nothing can be kept on this machine: it tells of no folder for that".to_owned(),
        )
    })
}

async fn keep(State(shop): State<Shop>, Json(drawn): Json<Drawn>) -> Result<Response, Refusal> {
    let done = shop.work(move |desk| {
        let drawing = drawn.drawing;
        drawing
            .within_limits()
            .map_err(|error| Refusal::wrong(error.to_string()))?;
        let text =
            serde_json::to_string(&drawing).map_err(|error| Refusal::wrong(error.to_string()))?;
        kept(desk.practice())?
            .keep(&drawing.exercise, &text)
            .map_err(|error| Refusal::disk(&error))?;
        Ok(json!({}))
    });
    Ok(axum::Json(done.await?).into_response())
}

async fn marked(State(shop): State<Shop>, Json(drawn): Json<Drawn>) -> Result<Response, Refusal> {
    let told = shop.work(move |desk| {
        let drawing = drawn.drawing;
        drawing
            .within_limits()
            .map_err(|error| Refusal::wrong(error.to_string()))?;
        let exercise = of_code(&drawing.exercise)?;
        let marks = mark::mark_exercise(&exercise, &drawing, Rubric::published());
        let corner = Corner::ALL
            .into_iter()
            .find(|corner| Some(corner.word()) == marks.corner);
        let key = handout::key(&exercise, corner.unwrap_or(exercise.corner))
            .map_err(|error| Refusal::wrong(error.to_string()))?;
        if let Some(practice) = desk.practice() {
            let marked = Marked {
                code: exercise.name(),
                level: exercise.code.map_or(0, |code| code.level.number()),
                time: now(),
                got: marks.got,
                of: marks.of,
            };
            practice
                .mark(marked)
                .map_err(|error| Refusal::disk(&error))?;
        }
        Ok(json!({ "marks": marks, "key": wyeline_exchange::svg_in_page(&key) }))
    });
    Ok(axum::Json(told.await?).into_response())
}

/// Nothing is told along.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Nothing {}

async fn forget(
    State(shop): State<Shop>,
    Json(Nothing {}): Json<Nothing>,
) -> Result<Response, Refusal> {
    let done = shop.work(|desk| {
        if let Some(practice) = desk.practice() {
            practice.forget().map_err(|error| Refusal::disk(&error))?;
        }
        Ok(json!({}))
    });
    Ok(axum::Json(done.await?).into_response())
}
