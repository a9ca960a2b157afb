//! The job on the floor, with everything that can be done to it: plain Rust, no browser.

use crate::protocol::{
    Comparison, Form, Held, LengthRead, Offered, Opened, Outcome, PageName, Paper, Scene,
    SetOutStart, Sheet, State, Thing, ThingKind, View,
};

const NOT_YET: &str = "not there yet";

/// The job on the floor.
#[derive(Debug, Default)]
pub struct Session {
    text: String,
}

#[allow(missing_docs, clippy::too_many_arguments)]
impl Session {
    pub fn open(&mut self, text: &str) -> Opened {
        self.text = text.to_owned();
        Opened {
            accepted: true,
            problems: Vec::new(),
        }
    }
    pub fn save(&self) -> String {
        self.text.clone()
    }
    pub fn save_name(&self) -> String {
        "job.heartside.json".to_owned()
    }
    pub fn state(&mut self, place: PageName, _selection: &View) -> State {
        State {
            place,
            units: "mm".to_owned(),
            ..State::default()
        }
    }
    pub fn form(&self, thing: &Thing) -> Form {
        Form {
            thing: Some(thing.clone()),
            ..Form::default()
        }
    }
    pub fn scene(&mut self, _view: &View) -> Scene {
        Scene::default()
    }
    pub fn read_length(&self, _text: &str) -> LengthRead {
        LengthRead::default()
    }
    pub fn thing_of(&self, _fragment: &str) -> Option<Thing> {
        None
    }
    pub fn set(&mut self, _thing: &Thing, _field: &str, _text: &str) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn add(&mut self, _kind: ThingKind, _owner: Option<&Thing>) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn remove(&mut self, _thing: &Thing) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn duplicate(&mut self, _thing: &Thing) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn move_in_list(&mut self, _thing: &Thing, _to: usize) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn paste_parts(&mut self, _text: &str) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn move_aim(&mut self, _from: usize, _to: usize) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn undo(&mut self) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn redo(&mut self) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn move_board(&mut self, _board: &str, _copy: u32, _x: f64, _y: f64) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn drag_begin(&mut self, _part: &str, _copy: u32) -> Held {
        Held::default()
    }
    pub fn drag(&mut self, _x: f64, _y: f64, _turn: f64, _turned_over: bool, _snap: bool) -> Held {
        Held::default()
    }
    pub fn drag_end(&mut self) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn drag_cancel(&mut self) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn turn(&mut self, _part: &str, _copy: u32, _degrees: f64) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn turn_over(&mut self, _part: &str, _copy: u32) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn nudge(&mut self, _part: &str, _copy: u32, _dx: f64, _dy: f64) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn pin(&mut self, _part: &str, _copy: u32, _on: bool) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn to_trestle(&mut self, _part: &str, _copy: u32) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn lay_on(&mut self, _part: &str, _copy: u32, _board: &str, _board_copy: u32) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn saw_by_line(&mut self, _part: &str, _copy: u32) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn begin_set_out(&mut self) -> SetOutStart {
        SetOutStart::default()
    }
    pub fn offer(&mut self, _plan: &str, _revision: u32) -> Offered {
        Offered::default()
    }
    pub fn end_set_out(&mut self) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn better(&self, _first: &str, _second: &str) -> bool {
        false
    }
    pub fn clear_plan(&mut self) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn keep_plan(&mut self, _name: &str) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn show_plan(&mut self, _name: &str) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn forget_plan(&mut self, _name: &str) -> Outcome {
        Outcome::refused(NOT_YET)
    }
    pub fn compare(&self, _first: &str, _second: &str) -> Comparison {
        Comparison::default()
    }
    pub fn svg_board(&self, _board: &str, _copy: u32, _date: &str) -> Sheet {
        Sheet::default()
    }
    pub fn svg_all(&self, _date: &str) -> Sheet {
        Sheet::default()
    }
    pub fn sheets(&self, _paper: Paper, _date: &str) -> Vec<Sheet> {
        Vec::new()
    }
}
