//! The class that the page's thread holds.

use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use super::{give, give_all, take, timing::measured};
use heartside_app::protocol::{
    Ask, BoardsRead, Comparison, EdgeTapped, FaceBalance, FacePictures, FaceView, FilesOut,
    FilesRead, FilesWanted, FloorLine, FloorWork, Form, Held, HeldFigure, HeldLine, LengthRead,
    MarkKind, OffcutsHome, Offered, Opened, Outcome, PageName, PanelSheet, Paper, PhotoRow,
    PhotoTaken, PhotoToMap, PhotoToRender, Rectangle, Scene, SelectionSheet, SetOutStart, Sheet,
    State, StepPicture, Thing, ThingKind, TogetherSheet, View,
};
use heartside_app::session::Session;

/// The job on the floor, with everything that can be done to it.
#[wasm_bindgen(js_name = Session)]
#[derive(Debug, Default)]
pub struct PageSession {
    pub(super) session: Session,
}

#[wasm_bindgen(js_class = Session)]
impl PageSession {
    /// A session with an empty job.
    #[wasm_bindgen(constructor)]
    pub fn new() -> PageSession {
        PageSession::default()
    }

    // Files.

    /// Puts the job of a file on the floor; undo brings the old one back. Refused files change nothing.
    pub fn open(&mut self, text: &str) -> Ts<Opened> {
        give(&measured("open", || self.session.open(text)))
    }

    /// The file of a new job: a small workshop to begin with, and nothing else.
    pub fn new_job(&self) -> String {
        Session::default().save()
    }

    /// The job as a file.
    pub fn save(&self) -> String {
        measured("save", || self.session.save())
    }

    /// A file name for it, in safe letters.
    pub fn save_name(&self) -> String {
        self.session.save_name()
    }

    // Reading.

    /// Everything that the header and the side sheet show in one of the four places.
    pub fn state(&mut self, place: Ts<PageName>, selection: Option<Ts<View>>) -> Ts<State> {
        let place = take(&place).unwrap_or_default();
        let selection = selection.and_then(|s| take(&s).ok()).unwrap_or_default();
        give(&measured("state", || self.session.state(place, &selection)))
    }

    /// What is selected alone, where nothing else has changed.
    pub fn selection(&self, view: Ts<View>) -> Option<Ts<SelectionSheet>> {
        let view = take(&view).ok()?;
        self.session.selection(&view).map(|sheet| give(&sheet))
    }

    /// The form of a thing.
    pub fn form(&self, thing: Ts<Thing>) -> Ts<Form> {
        match take(&thing) {
            Ok(thing) => give(&self.session.form(&thing)),
            Err(outcome) => give(&Form {
                problems: outcome.problem.into_iter().collect(),
                ..Form::default()
            }),
        }
    }

    /// What of the floor has changed since the last call.
    pub fn scene(&mut self, view: Ts<View>) -> Ts<Scene> {
        let view = take(&view).unwrap_or_default();
        give(&measured("scene", || self.session.scene(&view)))
    }

    /// Reads a length as the job would.
    pub fn read_length(&self, text: &str) -> Ts<LengthRead> {
        give(&self.session.read_length(text))
    }

    /// The part or board that a fragment of the floor shows.
    pub fn thing_of(&self, fragment: &str) -> Option<Ts<Thing>> {
        self.session.thing_of(fragment).map(|t| give(&t))
    }

    // Editing.

    /// Types a text into a field. Text that cannot be read stays in the field with its problem.
    pub fn set(&mut self, thing: Ts<Thing>, field: &str, text: &str) -> Ts<Outcome> {
        self.with(thing, |session, thing| {
            measured("set", || session.set(&thing, field, text))
        })
    }

    /// Adds a thing; `owner` is the board of a zone or station, or the thing after which to add.
    pub fn add(&mut self, kind: Ts<ThingKind>, owner: Option<Ts<Thing>>) -> Ts<Outcome> {
        let kind = match take(&kind) {
            Ok(kind) => kind,
            Err(outcome) => return give(outcome.as_ref()),
        };
        let owner = owner.and_then(|o| take(&o).ok());
        give(&self.session.add(kind, owner.as_ref()))
    }

    /// Takes a thing away.
    pub fn remove(&mut self, thing: Ts<Thing>) -> Ts<Outcome> {
        self.with(thing, |session, thing| session.remove(&thing))
    }

    /// Adds another like it, after it.
    pub fn duplicate(&mut self, thing: Ts<Thing>) -> Ts<Outcome> {
        self.with(thing, |session, thing| session.duplicate(&thing))
    }

    /// Where a marked area lies on the floor; nothing while its board cannot be used.
    pub fn mark_box(&self, thing: Ts<Thing>) -> Option<Ts<Rectangle>> {
        let thing = take(&thing).ok()?;
        self.session.mark_box(&thing).map(|found| give(&found))
    }

    /// Moves a marked area by millimetres along its board and to the left of it.
    pub fn shift_mark(&mut self, thing: Ts<Thing>, along: f64, left: f64) -> Ts<Outcome> {
        self.with(thing, |session, thing| {
            session.shift_mark(&thing, along, left)
        })
    }

    /// Moves a thing to another place of its list.
    pub fn move_in_list(&mut self, thing: Ts<Thing>, to: u32) -> Ts<Outcome> {
        self.with(thing, |session, thing| {
            session.move_in_list(&thing, to as usize)
        })
    }

    /// Adds parts from a list with headings, or from typed lines; `meanings` says for each column
    /// what it holds where its heading does not tell, one of the meanings offered for it.
    pub fn paste_parts(&mut self, text: &str, meanings: Vec<String>) -> Ts<Outcome> {
        give(&self.session.paste_parts(text, &meanings))
    }

    /// Reads boards typed as lines and gives them back as they were understood. Changes nothing.
    pub fn read_boards(&self, text: &str) -> Ts<BoardsRead> {
        give(&measured("read-boards", || self.session.read_boards(text)))
    }

    /// Adds the boards of all lines, as one step; refused as long as one of them cannot be read.
    pub fn take_boards(&mut self, text: &str) -> Ts<Outcome> {
        give(&self.session.take_boards(text))
    }

    /// Takes a file of boards to be looked at, a drawing or a table. Changes nothing in the job.
    pub fn give_file(&mut self, name: &str, bytes: &[u8]) {
        self.session.give_file(name, bytes);
    }

    /// Puts all given files away.
    pub fn drop_files(&mut self) {
        self.session.drop_files();
    }

    /// What is said about a given file: its `unit`, the `thickness` of its boards, or `without` and the place of a board that is left out or taken after all.
    pub fn say_of_file(&mut self, file: usize, what: &str, value: &str) {
        self.session.say_of_file(file, what, value);
    }

    /// What a name in a given drawing means.
    pub fn name_in_file(&mut self, file: usize, name: &str, meaning: &str) {
        self.session.name_in_file(file, name, meaning);
    }

    /// The given files as they are understood.
    pub fn read_files(&self) -> Ts<FilesRead> {
        give(&measured("read-files", || self.session.read_files()))
    }

    /// Adds the boards of the given files, as one step.
    pub fn take_files(&mut self) -> Ts<Outcome> {
        give(&self.session.take_files())
    }

    /// Adds a width where a long edge of a board was tapped, no farther from it than so many millimetres.
    pub fn tap_edge(
        &mut self,
        board: &str,
        copy: u32,
        x: f64,
        y: f64,
        reach: f64,
    ) -> Ts<EdgeTapped> {
        give(&self.session.tap_edge(board, copy, x, y, reach))
    }

    /// Marks an area of a usual size with one tap on a board.
    pub fn drop_mark(
        &mut self,
        board: &str,
        copy: u32,
        x: f64,
        y: f64,
        what: Ts<MarkKind>,
    ) -> Ts<Outcome> {
        match take(&what) {
            Ok(what) => give(&self.session.drop_mark(board, copy, x, y, what)),
            Err(outcome) => give(outcome.as_ref()),
        }
    }

    /// Takes a straightened photograph of a board with what was accepted of it, as one step.
    pub fn take_photo(&mut self, taken: Ts<PhotoTaken>) -> Ts<Outcome> {
        match take(&taken) {
            Ok(taken) => give(&self.session.take_photo(&taken)),
            Err(refused) => give(&*refused),
        }
    }

    /// Takes a photograph out of the job.
    pub fn drop_photo(&mut self, hash: &str) -> Ts<Outcome> {
        give(&self.session.drop_photo(hash))
    }

    /// A face of a board as an `svg` element, the down face as it is seen once the board is turned over; nothing
    /// where nothing is known of its down face.
    pub fn face_picture(&self, thing: Ts<Thing>, turned_over: bool) -> Option<String> {
        let thing = take(&thing).ok()?;
        self.session.face_picture(&thing, turned_over)
    }

    /// The photographs of the job.
    pub fn photos(&self) -> Vec<Ts<PhotoRow>> {
        give_all(&self.session.photos())
    }

    /// The files of all photographs, those that undo may bring back among them.
    pub fn photo_files(&self) -> Vec<String> {
        self.session.photo_files()
    }

    /// The photographs at hand of which no map of figure was made yet.
    pub fn photos_to_map(&self) -> Vec<Ts<PhotoToMap>> {
        give_all(&self.session.photos_to_map())
    }

    /// The photographs of invented logs whose pictures are not at hand and can be made.
    pub fn photos_to_render(&self) -> Vec<Ts<PhotoToRender>> {
        give_all(&self.session.photos_to_render())
    }

    /// Keeps such a picture by its row and the hash of its file, and its map; no step to be undone.
    pub fn keep_rendered(&mut self, row: u32, hash: &str, figure: &str) -> bool {
        self.session.keep_rendered(row, hash, figure)
    }

    /// Draws what is known of the figure over the wood, or no longer; false where nothing is known.
    pub fn show_figure(&mut self, shown: bool) -> bool {
        self.session.show_figure(shown)
    }

    /// Keeps the map of figure of a photograph that is in the job already; no step to be undone.
    pub fn keep_figure(&mut self, hash: &str, figure: &str) -> bool {
        self.session.keep_figure(hash, figure)
    }

    /// Says which files of photographs are at hand: only those are drawn.
    pub fn show_photos(&mut self, files: Vec<String>) {
        self.session.show_photos(files);
    }

    /// Puts one of the aims at another place of the order in which plans are compared.
    pub fn move_aim(&mut self, from: u32, to: u32) -> Ts<Outcome> {
        give(&self.session.move_aim(from as usize, to as usize))
    }

    /// Takes the last step back.
    pub fn undo(&mut self) -> Ts<Outcome> {
        give(&measured("undo", || self.session.undo()))
    }

    /// Does the last step taken back again.
    pub fn redo(&mut self) -> Ts<Outcome> {
        give(&measured("redo", || self.session.redo()))
    }

    // By hand on the floor. Positions are the floor's drawing units: millimetres, y down.

    /// Puts a board's box with its top left corner at a place of the floor.
    pub fn move_board(&mut self, board: &str, copy: u32, x: f64, y: f64) -> Ts<Outcome> {
        give(&self.session.move_board(board, copy, x, y))
    }

    /// A blank at true scale for the trestle: an SVG `g` whose lower left corner is at 0, 0 (y down, millimetres).
    pub fn trestle_picture(&self, part: &str, copy: u32) -> String {
        self.session.trestle_picture(part, copy)
    }

    /// Takes a part in the hand.
    pub fn drag_begin(&mut self, part: &str, copy: u32) -> Ts<Held> {
        give(&measured("drag-begin", || {
            self.session.drag_begin(part, copy)
        }))
    }

    /// Moves the part in the hand: the middle of its blank to a place of the floor.
    pub fn drag(&mut self, x: f64, y: f64, turn: f64, turned_over: bool, snap: bool) -> Ts<Held> {
        give(&measured("drag", || {
            self.session.drag(x, y, turn, turned_over, snap)
        }))
    }

    /// Moves the part in the hand by a little on its board, without snapping.
    pub fn nudge_held(&mut self, dx: f64, dy: f64) -> Ts<Held> {
        give(&measured("nudge", || self.session.nudge_held(dx, dy)))
    }

    /// Drops it: on a board it is pinned and a legal order of cuts is looked for; elsewhere it goes to the trestle.
    pub fn drag_end(&mut self) -> Ts<Outcome> {
        give(&measured("drag-end", || self.session.drag_end()))
    }

    /// Puts it back where it was.
    pub fn drag_cancel(&mut self) -> Ts<Outcome> {
        give(&self.session.drag_cancel())
    }

    /// Turns a placed part round its middle, degrees counter-clockwise as seen.
    pub fn turn(&mut self, part: &str, copy: u32, degrees: f64) -> Ts<Outcome> {
        give(&self.session.turn(part, copy, degrees))
    }

    /// Turns a placed part over.
    pub fn turn_over(&mut self, part: &str, copy: u32) -> Ts<Outcome> {
        give(&self.session.turn_over(part, copy))
    }

    /// Moves a placed part by a little.
    pub fn nudge(&mut self, part: &str, copy: u32, dx: f64, dy: f64) -> Ts<Outcome> {
        give(&self.session.nudge(part, copy, dx, dy))
    }

    /// Pins a part where it lies, or lets it go.
    pub fn pin(&mut self, part: &str, copy: u32, on: bool) -> Ts<Outcome> {
        give(&self.session.pin(part, copy, on))
    }

    /// Takes a part off its board.
    pub fn to_trestle(&mut self, part: &str, copy: u32) -> Ts<Outcome> {
        give(&self.session.to_trestle(part, copy))
    }

    /// Lays a part on a board, at the first place where it fits (for keys and touch).
    pub fn lay_on(&mut self, part: &str, copy: u32, board: &str, board_copy: u32) -> Ts<Outcome> {
        give(&self.session.lay_on(part, copy, board, board_copy))
    }

    /// Makes a part be sawn by line.
    pub fn saw_by_line(&mut self, part: &str, copy: u32) -> Ts<Outcome> {
        give(&self.session.saw_by_line(part, copy))
    }

    // Panels.

    /// Every panel as it is glued up.
    pub fn panels(&self) -> Vec<Ts<PanelSheet>> {
        give_all(&self.session.panels())
    }

    /// Every set of parts that must look related and is seen together.
    pub fn sets_together(&self) -> Vec<Ts<TogetherSheet>> {
        give_all(&self.session.sets_together())
    }

    /// One side of a panel or of parts that are seen together.
    pub fn face_view(&self, of: &str, is_back: bool, stands: bool) -> Ts<FaceView> {
        give(&measured("face", || {
            self.session.face_view(of, is_back, stands)
        }))
    }

    /// The same, to be shown over the whole window.
    pub fn face_large(&self, of: &str, is_back: bool, stands: bool) -> Ts<FaceView> {
        give(&self.session.face_large(of, is_back, stands))
    }

    /// How faces change with the part in the hand.
    pub fn held_figures(&mut self) -> Vec<Ts<HeldFigure>> {
        give_all(&measured("held-figures", || self.session.held_figures()))
    }

    /// Pushes the wood that is seen in the part in the hand, by so much of the face in all.
    pub fn slide_held(&mut self, face: &str, right: f64, up: f64) -> Ts<Held> {
        give(&measured("slide", || {
            self.session.slide_held(face, right, up)
        }))
    }

    /// Puts a stave at another place in its panel, counted from 0 from the uppermost.
    pub fn move_stave(&mut self, part: &str, copy: u32, number: u32, to: u32) -> Ts<Outcome> {
        give(&self.session.move_stave(part, copy, number, to))
    }

    /// Puts the plan that was found for a value of the size in a row on the floor.
    pub fn take_size(&mut self, row: u32, plan: &str) -> Ts<Outcome> {
        give(&self.session.take_size(row, plan))
    }

    // Figure.

    /// How well a face of the plan on the floor is balanced.
    pub fn balance(&self, key: &str, stands: bool) -> Option<Ts<FaceBalance>> {
        let balance = measured("balance", || self.session.balance(key, stands));
        balance.map(|balance| give(&balance))
    }

    /// How a face will look in a plan that was found for it.
    pub fn face_pictures(&self, key: &str, plan: &str) -> Option<Ts<FacePictures>> {
        let pictures = self.session.face_pictures(key, plan);
        pictures.map(|pictures| give(&pictures))
    }

    /// Puts a face that was found on the floor, its parts pinned.
    pub fn take_face(&mut self, key: &str, plan: &str) -> Ts<Outcome> {
        give(&self.session.take_face(key, plan))
    }

    // Setting out.

    /// Begins a set-out: one undo step, however many better plans come.
    pub fn begin_set_out(&mut self) -> Ts<SetOutStart> {
        give(&self.session.begin_set_out())
    }

    /// Offers a plan. It is checked before it is shown, and dropped if it was made for an older revision.
    pub fn offer(&mut self, plan: &str, revision: u32) -> Ts<Offered> {
        give(&measured("offer", || self.session.offer(plan, revision)))
    }

    /// Ends the set-out.
    pub fn end_set_out(&mut self) -> Ts<Outcome> {
        give(&self.session.end_set_out())
    }

    /// Works a little on the floor under the cost of the plan that lies there.
    pub fn raise_floor(&mut self) -> Ts<FloorWork> {
        give(&measured("raise_floor", || self.session.raise_floor()))
    }

    /// Whether the first plan is better than the second in the maker's order.
    pub fn better(&self, first: &str, second: &str) -> bool {
        self.session.better(first, second)
    }

    /// Takes the plan off the floor: every part goes to the trestle, pins are let go.
    pub fn clear_plan(&mut self) -> Ts<Outcome> {
        give(&self.session.clear_plan())
    }

    /// Keeps the plan on the floor under a name.
    pub fn keep_plan(&mut self, name: &str) -> Ts<Outcome> {
        give(&self.session.keep_plan(name))
    }

    /// Puts a kept plan on the floor.
    pub fn show_plan(&mut self, name: &str) -> Ts<Outcome> {
        give(&self.session.show_plan(name))
    }

    /// Forgets a kept plan.
    pub fn forget_plan(&mut self, name: &str) -> Ts<Outcome> {
        give(&self.session.forget_plan(name))
    }

    /// Two plans side by side; an empty name is the plan on the floor.
    pub fn compare(&self, first: &str, second: &str) -> Ts<Comparison> {
        give(&self.session.compare(first, second))
    }

    // At the bench.

    /// The cut was made as planned: its pieces lie where the board lay.
    pub fn tick(&mut self, tick: &str) -> Ts<Outcome> {
        give(&measured("tick", || self.session.tick(tick)))
    }

    /// Takes a done cut back: its pieces are one board again.
    pub fn not_cut(&mut self, id: u32) -> Ts<Outcome> {
        give(&measured("not-cut", || self.session.not_cut(id)))
    }

    /// What is asked at the bench, with what was answered so far and what is wrong with it. Changes nothing.
    pub fn ask(&self, ask: Ts<Ask>) -> Ts<Form> {
        match take(&ask) {
            Ok(ask) => give(&self.session.ask(&ask)),
            Err(outcome) => give(&Form {
                problems: outcome.problem.into_iter().collect(),
                ..Form::default()
            }),
        }
    }

    /// Hands over what was answered to a question at the bench: one step. Text that cannot be read is refused with
    /// its field, and nothing is changed.
    pub fn answer(&mut self, ask: Ts<Ask>) -> Ts<Outcome> {
        match take(&ask) {
            Ok(ask) => give(&measured("answer", || self.session.answer(&ask))),
            Err(outcome) => give(outcome.as_ref()),
        }
    }

    /// The line of a cut that was typed, to be seen on the floor; none while it runs nowhere.
    pub fn typed_line(&self, ask: Ts<Ask>) -> Option<Ts<HeldLine>> {
        let held = self.session.typed_line(&take(&ask).ok()?)?;
        Some(give(&held))
    }

    /// A line of a cut while it is drawn over the floor.
    pub fn hold_line(&self, line: Ts<FloorLine>, snap: bool) -> Ts<HeldLine> {
        match take(&line) {
            Ok(line) => give(&self.session.hold_line(&line, snap)),
            Err(outcome) => give(&HeldLine {
                sentence: outcome.problem.unwrap_or_default(),
                ..HeldLine::default()
            }),
        }
    }

    /// A part in hand was spoiled: it is wanted again, and its wood is a piece.
    pub fn spoil(&mut self, part: &str, copy: u32) -> Ts<Outcome> {
        give(&self.session.spoil(part, copy))
    }

    /// Lists the cuts board by board, or by set-up across boards.
    pub fn order_cuts(&mut self, by_board: bool) {
        self.session.order_cuts(by_board);
    }

    /// The piece of one cut alone, as it lies at the machine.
    pub fn step_picture(&self, tick: &str) -> Ts<StepPicture> {
        give(&self.session.step_picture(tick))
    }

    /// The offcuts worth keeping as the boards of a new job.
    pub fn offcuts_home(&self) -> Ts<OffcutsHome> {
        give(&self.session.offcuts_home())
    }

    // On paper.

    /// The drawing of one board, true to scale, as a file of its own.
    pub fn svg_board(&self, board: &str, copy: u32, date: &str) -> Ts<Sheet> {
        give(&measured("svg", || {
            self.session.svg_board(board, copy, date)
        }))
    }

    /// The drawing of all boards, true to scale, as a file of its own.
    pub fn svg_all(&self, date: &str) -> Ts<Sheet> {
        give(&measured("svg", || self.session.svg_all(date)))
    }

    /// The drawing of one side of a panel or of parts seen together, true to scale, as a file of its own.
    pub fn svg_face(&self, of: &str, is_back: bool, stands: bool, date: &str) -> Ts<Sheet> {
        give(&self.session.svg_face(of, is_back, stands, date))
    }

    /// Files of the kinds that are wanted, or only their names, and what keeps them from being made.
    pub fn files_out(&self, wanted: Ts<FilesWanted>) -> Ts<FilesOut> {
        let wanted = take(&wanted).unwrap_or_default();
        give(&measured("files", || self.session.files_out(&wanted)))
    }

    /// Printable sheets: all boards first, then each that is cut.
    pub fn sheets(&self, paper: Ts<Paper>, date: &str) -> Vec<Ts<Sheet>> {
        let paper = take(&paper).unwrap_or_default();
        give_all(&measured("sheets", || self.session.sheets(paper, date)))
    }
}

impl PageSession {
    pub(super) fn with(
        &mut self,
        thing: Ts<Thing>,
        act: impl FnOnce(&mut Session, Thing) -> Outcome,
    ) -> Ts<Outcome> {
        match take(&thing) {
            Ok(thing) => give(&act(&mut self.session, thing)),
            Err(outcome) => give(outcome.as_ref()),
        }
    }
}
