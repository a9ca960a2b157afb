// Generated from crates/app and crates/wasm by `cargo xtask types`. Change the Rust types, then run it again.

/**
 * Better ones of a face, looked for in a worker.
 */
export class FaceAsked {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * What is known so far.
     */
    found(): FacesFound;
    /**
     * How many faces were found so far.
     */
    known(): number;
    /**
     * Asks for better ones of a face of a job file, or for more like the one in a plan.
     */
    constructor(document: string, key: string, like?: string | null);
    /**
     * The plan of a face that was found, as JSON.
     */
    plan(index: number): string | undefined;
    /**
     * Does a little more; false where nothing more is to come.
     */
    step(): boolean;
}

/**
 * Writes a job and its photographs as a ZIP file: the page joins what each call gives, and the text or picture that
 * it was given, in turn.
 */
export class Packing {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * What stands before the bytes of any file; none where a ZIP file cannot be so large.
     */
    file(name: string, bytes: Uint8Array | number[]): Uint8Array | undefined;
    /**
     * What stands at the end.
     */
    finish(): Uint8Array;
    /**
     * What stands before the text of the job; it comes first.
     */
    job(text: string): Uint8Array;
    /**
     * Begins a file.
     */
    constructor();
    /**
     * Begins a file whose entries are of this year, month, day, hour and minute.
     */
    static of(moment: Uint32Array | number[]): Packing;
    /**
     * What stands before the bytes of a picture; none where a ZIP file cannot be so large.
     */
    photo(hash: string, bytes: Uint8Array | number[]): Uint8Array | undefined;
}

/**
 * A photograph of a board in a worker: straightened by marks.
 */
export class Photograph {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * A picture that is at true scale already, for its map alone.
     */
    static at_true_scale(rgba: Uint8Array | number[], width: number, height: number, pixel: number, x: number, y: number): Photograph;
    /**
     * Begins the picture at true scale, with pixels of so many millimetres; `within` is x and y from, x and y
     * to, or empty for what the fit said is shown.
     */
    begin(pixel: number, within: Float64Array | number[]): PhotoTrue;
    /**
     * How far it may be off at the ends of a part of the board: x and y from, x and y to, in millimetres.
     */
    error_over(from_x: number, from_y: number, to_x: number, to_y: number): PhotoError | undefined;
    /**
     * The map, once it is done.
     */
    figure(): PhotoFigure;
    /**
     * Looks on by so many steps and tells the share that is done.
     */
    look(steps: number): number;
    /**
     * Begins to look for what can be seen in the picture at true scale: within an outline (x and y of its
     * points in turn, in millimetres), or for a board where the marks lie if that is empty.
     */
    look_begin(outline: Float64Array | number[]): void;
    /**
     * Goes on with the map by so many rows and tells the share that is done.
     */
    map(rows: number): number;
    /**
     * Begins the map of the figure within an outline (x and y of its points in turn, in millimetres).
     */
    map_begin(outline: Float64Array | number[]): void;
    /**
     * Takes in pixels, four bytes each. Never throws: see `problem()`.
     */
    constructor(rgba: Uint8Array | number[], width: number, height: number);
    /**
     * The picture at true scale, four bytes a pixel; empty before it is made.
     */
    pixels(): Uint8Array;
    /**
     * Why there is no photograph, if so.
     */
    problem(): string | undefined;
    /**
     * A picture of an invented log, at true scale: the log's number and which of its boards, pixels in a row
     * and rows.
     */
    static rendered(log: number, board: number, is_down: boolean, size: Uint32Array | number[], pixel: number, origin: Float64Array | number[]): Photograph;
    /**
     * What was seen so far: proposals, used by nothing until they are accepted.
     */
    seen(): PhotoSeen;
    /**
     * Makes up to so many rows more and tells the share that is made.
     */
    step(rows: number): number;
    /**
     * How well marks fit; the photograph is straightened by them from now on.
     */
    straighten(asked: PhotoAsked): PhotoFit;
}

/**
 * Who steps, who merges, when a plan is taken and when it ends. Plans are texts that are never read here.
 */
export class Rounds {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * The plan that belongs to the last order.
     */
    adopt(): string | undefined;
    /**
     * The best plan at the last look.
     */
    best(): string | undefined;
    /**
     * A worker fell: the steps that the one in its place is to make, after taking over
     * `adopt()`; none where it has happened too often.
     */
    fallen(worker: number): number | undefined;
    /**
     * Whether nothing follows the last look.
     */
    is_over(): boolean;
    /**
     * Looks at what all have made; true where `best()` is worth showing.
     */
    look(better: (first: string, second: string) => boolean): boolean;
    /**
     * Takes down what a worker has made; true where all have answered, which is the time to look.
     */
    made(worker: number, better: string | null | undefined, places: boolean, finished: boolean): boolean;
    /**
     * A search of which no step is asked for yet; `from` is a plan to go on from.
     */
    constructor(workers: number, round: number, from?: string | null);
    /**
     * Steps that every worker is to make now, after taking over `adopt()`; none where the search is over.
     * `was_quick`: whether those before took less than one wants to wait between looks.
     */
    next(was_quick: boolean): number | undefined;
    /**
     * The plan to keep where one stops before anything was shown: the best that any has placed.
     */
    unshown(better: (first: string, second: string) => boolean): string | undefined;
}

/**
 * A search in a worker: it makes steps until it is told otherwise.
 */
export class Search {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * Takes over another worker's best plan where that is better.
     */
    adopt(plan: string): boolean;
    /**
     * The best plan so far, as JSON.
     */
    best(): string | undefined;
    /**
     * Figures of the best plan so far.
     */
    figures(): SearchFigures;
    /**
     * The state of the search in sixteen letters, for telling whether two runs went the same way.
     */
    fingerprint(): string;
    /**
     * Starts a search on a job file. Never throws: see `problem()`.
     */
    constructor(document: string, settings: SearchSettings);
    /**
     * Why there is nothing to search, if so.
     */
    problem(): string | undefined;
    /**
     * Makes at most `steps` steps.
     */
    step(steps: number): SearchStatus;
    /**
     * Steps in a round: the same number in every worker and in the native command.
     */
    static steps_per_round(): number;
}

/**
 * The job on the floor, with everything that can be done to it.
 */
export class Session {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * Adds a thing; `owner` is the board of a zone or station, or the thing after which to add.
     */
    add(kind: ThingKind, owner?: Thing | null): Outcome;
    /**
     * Hands over what was answered to a question at the bench: one step. Text that cannot be read is refused with
     * its field, and nothing is changed.
     */
    answer(ask: Ask): Outcome;
    /**
     * What is asked at the bench, with what was answered so far and what is wrong with it. Changes nothing.
     */
    ask(ask: Ask): Form;
    /**
     * How well a face of the plan on the floor is balanced.
     */
    balance(key: string, stands: boolean): FaceBalance | undefined;
    /**
     * Begins a set-out: one undo step, however many better plans come.
     */
    begin_set_out(): SetOutStart;
    /**
     * Whether the first plan is better than the second in the maker's order.
     */
    better(first: string, second: string): boolean;
    /**
     * Takes the plan off the floor: every part goes to the trestle, pins are let go.
     */
    clear_plan(): Outcome;
    /**
     * Two plans side by side; an empty name is the plan on the floor.
     */
    compare(first: string, second: string): Comparison;
    /**
     * Moves the part in the hand: the middle of its blank to a place of the floor.
     */
    drag(x: number, y: number, turn: number, turned_over: boolean, snap: boolean): Held;
    /**
     * Takes a part in the hand.
     */
    drag_begin(part: string, copy: number): Held;
    /**
     * Puts it back where it was.
     */
    drag_cancel(): Outcome;
    /**
     * Drops it: on a board it is pinned and a legal order of cuts is looked for; elsewhere it goes to the trestle.
     */
    drag_end(): Outcome;
    /**
     * Begins to draw on a board, or the marked area that is named; nothing is changed before it is taken.
     */
    draw(thing: Thing, what: DrawWhat, mark?: MarkKind | null): Outcome;
    /**
     * Whether a drag from a place of the floor draws; `reach` is how far off a point is meant, in millimetres.
     */
    draw_grips(x: number, y: number, pixel: number, reach: number, touch: boolean): boolean;
    /**
     * Moves the chosen point by steps of the rule along the board and to the left of it.
     */
    draw_nudge(along: number, left: number): void;
    /**
     * Does something else to the drawing; false where there was no step to take back.
     */
    draw_order(order: DrawOrder): boolean;
    /**
     * What a pointer does to the drawing; `free`: without jumping to marks of the rule.
     */
    draw_step(step: DrawStep, x: number, y: number, pixel: number, reach: number, free: boolean): void;
    /**
     * Takes the two numbers that were typed; gives back what cannot be read.
     */
    draw_typed(first: string, second: string): string | undefined;
    /**
     * Chooses how the pointer draws.
     */
    draw_way(way: DrawWay): void;
    /**
     * The drawing as it is seen at so many millimetres to a pixel; nothing where none is under way.
     */
    drawing(pixel: number): Drawing | undefined;
    /**
     * Puts all given files away.
     */
    drop_files(): void;
    /**
     * Marks an area of a usual size with one tap on a board.
     */
    drop_mark(board: string, copy: number, x: number, y: number, what: MarkKind): Outcome;
    /**
     * Takes a photograph out of the job.
     */
    drop_photo(hash: string): Outcome;
    /**
     * Adds another like it, after it.
     */
    duplicate(thing: Thing): Outcome;
    /**
     * Ends the set-out.
     */
    end_set_out(): Outcome;
    /**
     * The same, to be shown over the whole window.
     */
    face_large(of: string, is_back: boolean, stands: boolean): FaceView;
    /**
     * A face of a board as an `svg` element, the down face as it is seen once the board is turned over; nothing
     * where nothing is known of its down face.
     */
    face_picture(thing: Thing, turned_over: boolean): string | undefined;
    /**
     * How a face will look in a plan that was found for it.
     */
    face_pictures(key: string, plan: string): FacePictures | undefined;
    /**
     * One side of a panel or of parts that are seen together.
     */
    face_view(of: string, is_back: boolean, stands: boolean): FaceView;
    /**
     * Files of the kinds that are wanted, or only their names, and what keeps them from being made.
     */
    files_out(wanted: FilesWanted): FilesOut;
    /**
     * Forgets a kept plan.
     */
    forget_plan(name: string): Outcome;
    /**
     * The form of a thing.
     */
    form(thing: Thing): Form;
    /**
     * Takes a file of boards to be looked at, a drawing or a table. Changes nothing in the job.
     */
    give_file(name: string, bytes: Uint8Array | number[]): void;
    /**
     * How faces change with the part in the hand.
     */
    held_figures(): HeldFigure[];
    /**
     * A line of a cut while it is drawn over the floor.
     */
    hold_line(line: FloorLine, snap: boolean): HeldLine;
    /**
     * Keeps the map of figure of a photograph that is in the job already; no step to be undone.
     */
    keep_figure(hash: string, figure: string): boolean;
    /**
     * Keeps the plan on the floor under a name.
     */
    keep_plan(name: string): Outcome;
    /**
     * Keeps such a picture by its row and the hash of its file, and its map; no step to be undone.
     */
    keep_rendered(row: number, hash: string, figure: string): boolean;
    /**
     * Lays a part on a board, at the first place where it fits (for keys and touch).
     */
    lay_on(part: string, copy: number, board: string, board_copy: number): Outcome;
    /**
     * Leaves the drawing: nothing of it is taken.
     */
    leave_drawing(): void;
    /**
     * Where a marked area lies on the floor; nothing while its board cannot be used.
     */
    mark_box(thing: Thing): Rectangle | undefined;
    /**
     * Puts one of the aims at another place of the order in which plans are compared.
     */
    move_aim(from: number, to: number): Outcome;
    /**
     * Puts a board's box with its top left corner at a place of the floor.
     */
    move_board(board: string, copy: number, x: number, y: number): Outcome;
    /**
     * Moves a thing to another place of its list.
     */
    move_in_list(thing: Thing, to: number): Outcome;
    /**
     * Puts a stave at another place in its panel, counted from 0 from the uppermost.
     */
    move_stave(part: string, copy: number, number: number, to: number): Outcome;
    /**
     * What a name in a given drawing means.
     */
    name_in_file(file: number, name: string, meaning: string): void;
    /**
     * A session with an empty job.
     */
    constructor();
    /**
     * The file of a new job: a small workshop to begin with, and nothing else.
     */
    new_job(): string;
    /**
     * Takes a done cut back: its pieces are one board again.
     */
    not_cut(id: number): Outcome;
    /**
     * Moves a placed part by a little.
     */
    nudge(part: string, copy: number, dx: number, dy: number): Outcome;
    /**
     * Moves the part in the hand by a little on its board, without snapping.
     */
    nudge_held(dx: number, dy: number): Held;
    /**
     * The offcuts worth keeping as the boards of a new job.
     */
    offcuts_home(): OffcutsHome;
    /**
     * Offers a plan. It is checked before it is shown, and dropped if it was made for an older revision.
     */
    offer(plan: string, revision: number): Offered;
    /**
     * Puts the job of a file on the floor; undo brings the old one back. Refused files change nothing.
     */
    open(text: string): Opened;
    /**
     * Lists the cuts board by board, or by set-up across boards.
     */
    order_cuts(by_board: boolean): void;
    /**
     * Every panel as it is glued up.
     */
    panels(): PanelSheet[];
    /**
     * Adds parts from a list with headings, or from typed lines; `meanings` says for each column
     * what it holds where its heading does not tell, one of the meanings offered for it.
     */
    paste_parts(text: string, meanings: string[]): Outcome;
    /**
     * The files of all photographs, those that undo may bring back among them.
     */
    photo_files(): string[];
    /**
     * The photographs of the job.
     */
    photos(): PhotoRow[];
    /**
     * The photographs at hand of which no map of figure was made yet.
     */
    photos_to_map(): PhotoToMap[];
    /**
     * The photographs of invented logs whose pictures are not at hand and can be made.
     */
    photos_to_render(): PhotoToRender[];
    /**
     * Pins a part where it lies, or lets it go.
     */
    pin(part: string, copy: number, on: boolean): Outcome;
    /**
     * Works a little on the floor under the cost of the plan that lies there.
     */
    raise_floor(): FloorWork;
    /**
     * Reads boards typed as lines and gives them back as they were understood. Changes nothing.
     */
    read_boards(text: string): BoardsRead;
    /**
     * The given files as they are understood.
     */
    read_files(): FilesRead;
    /**
     * Reads a length as the job would.
     */
    read_length(text: string): LengthRead;
    /**
     * Does the last step taken back again.
     */
    redo(): Outcome;
    /**
     * Takes a thing away.
     */
    remove(thing: Thing): Outcome;
    /**
     * The job as a file.
     */
    save(): string;
    /**
     * A file name for it, in safe letters.
     */
    save_name(): string;
    /**
     * Makes a part be sawn by line.
     */
    saw_by_line(part: string, copy: number): Outcome;
    /**
     * What is said about a given file: its `unit`, the `thickness` of its boards, or `without` and the place of a board that is left out or taken after all.
     */
    say_of_file(file: number, what: string, value: string): void;
    /**
     * What of the floor has changed since the last call.
     */
    scene(view: View): Scene;
    /**
     * What is selected alone, where nothing else has changed.
     */
    selection(view: View): SelectionSheet | undefined;
    /**
     * Types a text into a field. Text that cannot be read stays in the field with its problem.
     */
    set(thing: Thing, field: string, text: string): Outcome;
    /**
     * Every set of parts that must look related and is seen together.
     */
    sets_together(): TogetherSheet[];
    /**
     * Printable sheets: all boards first, then each that is cut.
     */
    sheets(paper: Paper, date: string): Sheet[];
    /**
     * Moves a marked area by millimetres along its board and to the left of it.
     */
    shift_mark(thing: Thing, along: number, left: number): Outcome;
    /**
     * Draws what is known of the figure over the wood, or no longer; false where nothing is known.
     */
    show_figure(shown: boolean): boolean;
    /**
     * Says which files of photographs are at hand: only those are drawn.
     */
    show_photos(files: string[]): void;
    /**
     * Puts a kept plan on the floor.
     */
    show_plan(name: string): Outcome;
    /**
     * Pushes the wood that is seen in the part in the hand, by so much of the face in all.
     */
    slide_held(face: string, right: number, up: number): Held;
    /**
     * A part in hand was spoiled: it is wanted again, and its wood is a piece.
     */
    spoil(part: string, copy: number): Outcome;
    /**
     * Everything that the header and the side sheet show in one of the four places.
     */
    state(place: PageName, selection?: View | null): State;
    /**
     * The piece of one cut alone, as it lies at the machine.
     */
    step_picture(tick: string): StepPicture;
    /**
     * The drawing of all boards, true to scale, as a file of its own.
     */
    svg_all(date: string): Sheet;
    /**
     * The drawing of one board, true to scale, as a file of its own.
     */
    svg_board(board: string, copy: number, date: string): Sheet;
    /**
     * The drawing of one side of a panel or of parts seen together, true to scale, as a file of its own.
     */
    svg_face(of: string, is_back: boolean, stands: boolean, date: string): Sheet;
    /**
     * Adds the boards of all lines, as one step; refused as long as one of them cannot be read.
     */
    take_boards(text: string): Outcome;
    /**
     * Takes the drawing into the job: one step to undo.
     */
    take_drawing(): Outcome;
    /**
     * Puts a face that was found on the floor, its parts pinned.
     */
    take_face(key: string, plan: string): Outcome;
    /**
     * Adds the boards of the given files, as one step.
     */
    take_files(): Outcome;
    /**
     * Takes a straightened photograph of a board with what was accepted of it, as one step.
     */
    take_photo(taken: PhotoTaken): Outcome;
    /**
     * Puts the plan that was found for a value of the size in a row on the floor.
     */
    take_size(row: number, plan: string): Outcome;
    /**
     * Adds a width where a long edge of a board was tapped, no farther from it than so many millimetres.
     */
    tap_edge(board: string, copy: number, x: number, y: number, reach: number): EdgeTapped;
    /**
     * The part or board that a fragment of the floor shows.
     */
    thing_of(fragment: string): Thing | undefined;
    /**
     * The cut was made as planned: its pieces lie where the board lay.
     */
    tick(tick: string): Outcome;
    /**
     * Takes a part off its board.
     */
    to_trestle(part: string, copy: number): Outcome;
    /**
     * A blank at true scale for the trestle: an SVG `g` whose lower left corner is at 0, 0 (y down, millimetres).
     */
    trestle_picture(part: string, copy: number): string;
    /**
     * Turns a placed part round its middle, degrees counter-clockwise as seen.
     */
    turn(part: string, copy: number, degrees: number): Outcome;
    /**
     * Turns a placed part over.
     */
    turn_over(part: string, copy: number): Outcome;
    /**
     * The line of a cut that was typed, to be seen on the floor; none while it runs nowhere.
     */
    typed_line(ask: Ask): HeldLine | undefined;
    /**
     * Takes the last step back.
     */
    undo(): Outcome;
}

/**
 * What one size would cost over its range, looked at in a worker.
 */
export class SizeAsked {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * Looks at the next value and tells its place; none where all were looked at.
     */
    look(): number | undefined;
    /**
     * Asks of the size in a row of a job file's dimensions.
     */
    constructor(document: string, row: number);
    /**
     * The plan that was found for a value, as JSON.
     */
    plan(index: number): string | undefined;
    /**
     * What is known so far.
     */
    seen(): WhatIf;
}

/**
 * If `module_or_path` is {RequestInfo} or {URL}, makes a request and
 * for everything else, calls `WebAssembly.instantiate` directly.
 *
 * @param {{ module_or_path: InitInput | Promise<InitInput> }} module_or_path - Passing `InitInput` directly is deprecated.
 *
 * @returns {Promise<InitOutput>}
 */
export default function __wbg_init (module_or_path: { module_or_path: InitInput | Promise<InitInput> } | InitInput | Promise<InitInput>): Promise<InitOutput>;

export function __wbg_reset_state(): void;

/**
 * The style sheet of everything that is drawn on the floor and the trestle, with the page's own colours.
 */
export function floor_style(): string;

/**
 * Instantiates the given `module`, which can either be bytes or
 * a precompiled `WebAssembly.Module`.
 *
 * @param {{ module: SyncInitInput }} module - Passing `SyncInitInput` directly is deprecated.
 *
 * @returns {InitOutput}
 */
export function initSync(module: { module: SyncInitInput } | SyncInitInput): InitOutput;

/**
 * The last panic in words, if there was one. It can still be read after a trap.
 */
export function last_panic(): string | undefined;

/**
 * Marks and numbers of the ruler between two places of the floor: see [`ruler`].
 */
export function ruler_marks(inches: boolean, from: number, to: number, pixels_per_mm: number): RulerMark[];

/**
 * What lies in a ZIP file.
 */
export function unpack(bytes: Uint8Array | number[]): BundleFound;

/**
 * Version of the core, as in `heartside --version`.
 */
export function version(): string;

/**
 * Sets the hook: the console gets the details, [`last_panic`] the words.
 *
 * Runs when the module starts, on the page's thread and in every worker.
 */
export function watch_for_panics(): void;

/**
 * A text typed into a field that was asked for.
 */
export interface Answer {
    /**
     * The field's name.
     */
    name: string;
    /**
     * What was typed.
     */
    text: string;
}

/**
 * A question at the bench with what was answered so far. Nothing is changed until all is
 * handed to `answer`: then it is one step.
 */
export interface Ask {
    /**
     * What is asked.
     */
    kind: AskKind;
    /**
     * The board or piece; for a cut the one that the line runs over, unless named.
     */
    board?: CopyOf | null;
    /**
     * The part, for one that was spoiled.
     */
    part?: CopyOf | null;
    /**
     * The line of a cut that was drawn over the floor, as `hold_line` gave it back.
     */
    line?: FloorLine | null;
    /**
     * What was typed.
     */
    answers?: Answer[];
}

/**
 * A row of pasted or read text that could not be used.
 */
export interface BadRow {
    /**
     * Line of the text, from 1.
     */
    line: number;
    /**
     * What is wrong and how to mend it.
     */
    message: string;
}

/**
 * All that the bench shows.
 */
export interface Bench {
    /**
     * "50 cuts, 37 set-ups"; empty where there is no plan.
     */
    heading: string;
    /**
     * Why some boards or all have no cuts here, a sentence each: "Board A has no cuts: ...".
     */
    wrong: string[];
    /**
     * Each caution once: its short words, and the whole of it with the cuts it concerns.
     */
    cautions: Line[];
    /**
     * The cuts in order.
     */
    set_ups: BenchSetUp[];
    /**
     * They go board by board, and not by set-up across boards.
     */
    by_board: boolean;
    /**
     * "37 set-ups across boards, 45 board by board: 8 fewer"; none where it makes no difference.
     */
    saves: string | null;
    /**
     * The tick of the next cut: the first that can be made now.
     */
    next: string | null;
    /**
     * What is cut already, by the boards as they were bought.
     */
    done: DoneBoard[];
    /**
     * "7 in hand, 16 to saw, 2 waiting".
     */
    tally: string;
    /**
     * The parts of the piece, each with the state of its copies.
     */
    parts: BenchPart[];
    /**
     * Why to set out the rest again: "2 parts wait". None where nothing asks for it.
     */
    rest: string | null;
    /**
     * What the last change at the bench came to, three lines at most.
     */
    changed: string[];
}

/**
 * One copy of a part at the bench.
 */
export interface BenchCopy {
    /**
     * Which.
     */
    part: CopyOf;
    /**
     * "Leg 2".
     */
    name: string;
    /**
     * How far it is.
     */
    state: PartState;
    /**
     * "piece C4", "on A1, free after cut 14", "No room was found ...".
     */
    text: string;
    /**
     * Why its blank does not do any more, where it is in hand and was measured.
     */
    broken: string | null;
    /**
     * The board that it lies on, or the piece that it is.
     */
    board: CopyOf | null;
    /**
     * The tick of the cut that frees it.
     */
    tick: string | null;
}

/**
 * A part of the piece at the bench.
 */
export interface BenchPart {
    /**
     * It.
     */
    thing: Thing;
    /**
     * "Leg".
     */
    name: string;
    /**
     * "2 in hand, 1 to saw, 1 waiting".
     */
    text: string;
    /**
     * Copy by copy.
     */
    copies: BenchCopy[];
    /**
     * From the blank to its finished size, in order: what to do, and the size to set.
     */
    work: string[];
}

/**
 * The cuts that follow each other at one tool and setting.
 */
export interface BenchSetUp {
    /**
     * The board whose cuts begin here, where the list goes board by board: "Board A".
     */
    board: string | null;
    /**
     * "Mitre saw, stop at 1220 mm".
     */
    heading: string;
    /**
     * The cuts.
     */
    steps: BenchStep[];
}

/**
 * One cut.
 */
export interface BenchStep {
    /**
     * Number on the picture.
     */
    number: number;
    /**
     * The board.
     */
    board: CopyOf;
    /**
     * Names the cut as long as its board is cut in the same way, wherever its number goes.
     */
    tick: string;
    /**
     * "Crosscut C at 1148 from start end": enough under the heading of its set-up.
     */
    brief: string;
    /**
     * What comes off by name, without waste: "Leg 2", "C3, offcut C4".
     */
    gives: string;
    /**
     * Cautions that stand on the line itself, in short words: "raw edge".
     */
    grave: string[];
    /**
     * The short words of the others, to be marked on the line.
     */
    care: string[];
    /**
     * The whole of it: title, workpiece, setting, what it yields, what is left.
     */
    lines: string[];
    /**
     * Its cautions in full.
     */
    cautions: string[];
    /**
     * It can be made now: what it is made in lies there by itself.
     */
    ready: boolean;
    /**
     * What to look at once it is made: "Look at the sawn ends for checks ...".
     */
    look: string | null;
    /**
     * The marks to draw on what comes free, a sentence a part.
     */
    marks: string[];
}

/**
 * One copy of a board.
 */
export interface BoardCopy {
    /**
     * The board's id.
     */
    board: string;
    /**
     * 1, 2, ... up to the board's count.
     */
    copy?: number;
}

/**
 * Where a board lies on the floor.
 */
export interface BoardPlace {
    /**
     * Which.
     */
    board: CopyOf;
    /**
     * Its bounding box.
     */
    bounds: Rectangle;
}

/**
 * A line read back.
 */
export interface BoardRead {
    /**
     * The line, from 1.
     */
    line: number;
    /**
     * The mark that the board will have.
     */
    mark: string;
    /**
     * The board in words, as it was understood.
     */
    words: string;
    /**
     * Its picture; empty for the later ones of many.
     */
    svg: string;
}

/**
 * A board in the table.
 */
export interface BoardRow {
    /**
     * It.
     */
    thing: Thing;
    /**
     * Its id.
     */
    id: string;
    /**
     * What it is called.
     */
    name: string;
    /**
     * How many alike.
     */
    count: number;
    /**
     * "2380 x 240", or a dash where it cannot be read.
     */
    size: string;
    /**
     * Least measured thickness.
     */
    thickness: string;
    /**
     * Species.
     */
    species: string;
    /**
     * Price with what it buys.
     */
    price: string;
    /**
     * In words.
     */
    use_word: string;
    /**
     * How many problems it has as typed.
     */
    problems: number;
    /**
     * It takes part in setting out.
     */
    sound: boolean;
    /**
     * "9 parts, 81 % in parts", or empty.
     */
    used: string;
    /**
     * How many findings of the plan concern it.
     */
    findings: number;
    /**
     * "cut up", "1 of 3 cut up", "piece of A", "waste of A", "Leg 2, in hand"; empty for a whole board.
     */
    state: string;
    /**
     * It is there no more: all of it was cut.
     */
    gone: boolean;
    /**
     * It was cut from another.
     */
    is_piece: boolean;
}

/**
 * What lines of boards come to. Nothing of it is in the job before it is taken.
 */
export interface BoardsRead {
    /**
     * Every line that is a whole board.
     */
    boards: BoardRead[];
    /**
     * What is wrong with lines, or was guessed.
     */
    told: LineTold[];
    /**
     * All that was typed can be taken.
     */
    ready: boolean;
}

/**
 * A proven floor under the cost: no plan can use less.
 */
export interface Bound {
    /**
     * In the unit of the score's cost; for strips the length, for values the value (a ceiling there).
     */
    value: number;
    /**
     * Which argument gives it, in plain words.
     */
    because: string;
    /**
     * The plans it holds for, as in "no plan cut square to the boards"; none where it holds for all.
     */
    class?: string;
    /**
     * The plan's value meets it: proved best within the class named here ("with cuts square to this line").
     */
    proved_for?: string;
}

/**
 * What lies in a ZIP file.
 */
export interface BundleFound {
    /**
     * Why it cannot be opened.
     */
    problem: string | null;
    /**
     * The text of the job.
     */
    job: string;
    /**
     * Its pictures.
     */
    photos: BundlePhoto[];
    /**
     * Names of what is neither.
     */
    others: string[];
}

/**
 * A picture in a ZIP file.
 */
export interface BundlePhoto {
    /**
     * The hash that it is called by; whether it is that picture is for the page to find out.
     */
    hash: string;
    /**
     * Its first byte, from 0.
     */
    from: number;
    /**
     * The byte after its last one.
     */
    to: number;
}

/**
 * One choice.
 */
export interface Choice {
    /**
     * The text to hand back.
     */
    value: string;
    /**
     * What a person reads.
     */
    label: string;
    /**
     * What it looks like.
     */
    picture: SmallPicture | null;
}

/**
 * One figure of two plans.
 */
export interface ComparedRow {
    /**
     * What.
     */
    label: string;
    /**
     * Of the first.
     */
    first: string;
    /**
     * Of the second.
     */
    second: string;
    /**
     * Which is better: -1 the first, 1 the second, 0 neither.
     */
    better: number;
}

/**
 * Two plans side by side.
 */
export interface Comparison {
    /**
     * Heading of the first.
     */
    first: string;
    /**
     * Heading of the second.
     */
    second: string;
    /**
     * Figures.
     */
    rows: ComparedRow[];
    /**
     * Which is better in the maker's order, as a sentence.
     */
    sentence: string;
}

/**
 * One copy of a board or of a part, by id.
 */
export interface CopyOf {
    /**
     * The id.
     */
    id: string;
    /**
     * 1, 2, ...
     */
    copy: number;
}

/**
 * One copy of a part.
 */
export interface CopyRow {
    /**
     * Which.
     */
    part: CopyOf;
    /**
     * "Leg 2", "Top, stave 3".
     */
    name: string;
    /**
     * "133 wide", of a stave; else empty.
     */
    size: string;
    /**
     * "on A", "on the trestle".
     */
    place: string;
    /**
     * The board it lies on.
     */
    board: CopyOf | null;
    /**
     * It stays where it is.
     */
    pinned: boolean;
}

/**
 * The cuts of one board. `nodes[0]` is the whole board; children are named by their place in the list.
 *
 * A list and not a nest of boxes, so that a hundred cuts in a row neither overflow a
 * reader nor a stack.
 */
export interface CutTree {
    /**
     * The nodes; the first is the whole board.
     */
    nodes: CutNode[];
}

/**
 * One problem.
 */
export interface Diagnostic {
    /**
     * Stable name of the problem, such as `length-unreadable`.
     */
    code: string;
    /**
     * How serious.
     */
    level: Level;
    /**
     * What is wrong, as a sentence.
     */
    message: string;
    /**
     * Where.
     */
    place: Place;
    /**
     * How to mend it.
     */
    hint?: string;
}

/**
 * A named dimension and the value a plan was made with.
 */
export interface DimensionValue {
    /**
     * The name.
     */
    name: string;
    /**
     * Millimetres.
     */
    value: number;
    /**
     * What was preferred when it was chosen, in millimetres; none where there was no choice. A choice
     * holds until something else is preferred.
     */
    preferred?: number;
}

/**
 * A board that is cut, with its cuts.
 */
export interface DoneBoard {
    /**
     * The board as it was bought.
     */
    board: CopyOf;
    /**
     * "Board A".
     */
    name: string;
    /**
     * Its cuts and those of its pieces, in their order.
     */
    cuts: DoneRow[];
}

/**
 * A cut that was made.
 */
export interface DoneRow {
    /**
     * Names it: the argument of `not_cut`.
     */
    id: number;
    /**
     * 1, 2, ... in the order in which cuts were made.
     */
    number: number;
    /**
     * "C into C3 and Leg 2".
     */
    text: string;
    /**
     * "mitre saw, kerf 3 mm".
     */
    how: string;
    /**
     * What it left, but for waste.
     */
    pieces: PieceLeft[];
    /**
     * Why it cannot be taken back by itself: "first take back the cut of A1". None where it can.
     */
    stays_because: string | null;
}

/**
 * A drawing as it is seen, in the floor's units: millimetres, y down.
 */
export interface Drawing {
    /**
     * What is drawn.
     */
    what: DrawWhat;
    /**
     * How the pointer draws.
     */
    way: DrawWay;
    /**
     * What is drawn on, such as "board A".
     */
    on: string;
    /**
     * The lines and their points.
     */
    svg: string;
    /**
     * What to do next, or what is to be known.
     */
    sentence: string;
    /**
     * Something is wrong with the lines: they cannot be taken so.
     */
    wrong: boolean;
    /**
     * What the two numbers that can be typed are.
     */
    labels: string[];
    /**
     * What they are now; empty where they are nothing yet.
     */
    now: string[];
    /**
     * Where the point lies that they are about; nothing before the first one.
     */
    at: [number, number] | null;
    /**
     * A line is begun and not closed.
     */
    open: boolean;
    /**
     * A point is chosen.
     */
    chosen: boolean;
    /**
     * A step can be taken back.
     */
    back: boolean;
    /**
     * One that was taken back can be done again.
     */
    forward: boolean;
    /**
     * Points jump to marks of the rule.
     */
    snaps: boolean;
}

/**
 * A width that was added where the edge was tapped.
 */
export interface EdgeTapped {
    /**
     * What was done.
     */
    outcome: Outcome;
    /**
     * The field of the board's form with the width to the tapped edge.
     */
    field: string | null;
}

/**
 * How well a face of the plan on the floor is balanced.
 */
export interface FaceBalance {
    /**
     * Its key.
     */
    key: string;
    /**
     * What is known of it and what is not, in sentences.
     */
    notes: string[];
    /**
     * Its measures.
     */
    measures: MeasureRow[];
    /**
     * Why no better face can be looked for; null where one can.
     */
    cannot_look: string | null;
}

/**
 * A face that could be made: a plan of the whole job that was checked.
 */
export interface FaceCard {
    /**
     * Its place, by which it is taken.
     */
    index: number;
    /**
     * Its measures.
     */
    measures: MeasureRow[];
    /**
     * How well it meets what was wished, from 0 to 1.
     */
    worth: number;
    /**
     * "14.00 more than the cheapest plan known".
     */
    cost: string;
    /**
     * "Stave 1 from A, stave 2 from C, turned over".
     */
    lies: string;
    /**
     * What is cut away for it, in sentences.
     */
    cut_away: string[];
}

/**
 * The pictures of a face that could be made.
 */
export interface FacePictures {
    /**
     * As it will look: an `svg` element.
     */
    face: string;
    /**
     * Where it lies on the boards: a drawing that stands alone; empty where nothing can be drawn.
     */
    boards: string;
}

/**
 * One side of a panel, or of parts that are seen together.
 */
export interface FaceView {
    /**
     * What tells it from all others of the job.
     */
    key: string;
    /**
     * An `svg` element; what moves with the wood of a part is a group with `data-figure`, the part's id, `#`
     * and its copy. Empty where there is no such face.
     */
    svg: string;
    /**
     * A photo shows some of its wood.
     */
    photo: boolean;
    /**
     * "No photo shows this side of stave 2: that wood is drawn, not seen."; empty where all is shown.
     */
    unseen: string;
}

/**
 * What is known so far of better faces.
 */
export interface FacesFound {
    /**
     * How far it is, or why there is nothing to look for.
     */
    sentence: string;
    /**
     * What of the wish no face meets and what can be done about it, in sentences.
     */
    contradictions: string[];
    /**
     * The best first.
     */
    cards: FaceCard[];
    /**
     * How far it is, from 0 to 1.
     */
    share: number;
    /**
     * Nothing more is to come.
     */
    done: boolean;
}

/**
 * One field of a form.
 */
export interface Field {
    /**
     * Handed back to `set`; also the path named by problems.
     */
    name: string;
    /**
     * Where in the form it stands.
     */
    place: FieldPlace;
    /**
     * The heading under which it stands.
     */
    group: string;
    /**
     * What a person reads beside it.
     */
    label: string;
    /**
     * How it is typed.
     */
    kind: FieldKind;
    /**
     * What stands in it now, to the letter; `yes` or `no` for a flag.
     */
    text: string;
    /**
     * What holds while it is empty.
     */
    when_empty: string | null;
    /**
     * Where what holds while it is empty comes from: a source, common practice or memory.
     */
    standing: string | null;
    /**
     * What it leaves open, although it can be used.
     */
    question: string | null;
    /**
     * Answers to the question or ways out of the problem: texts to put into it.
     */
    offers: Choice[];
    /**
     * What is understood, where that reads otherwise than the text ("= 1400 mm").
     */
    reads_as: string | null;
    /**
     * For a choice.
     */
    choices: Choice[];
    /**
     * One plain sentence of help.
     */
    hint: string | null;
    /**
     * How it is measured.
     */
    picture: SmallPicture | null;
    /**
     * What is wrong with it.
     */
    problem: string | null;
}

/**
 * A file.
 */
export interface FileOut {
    /**
     * Of this kind.
     */
    kind: FileKind;
    /**
     * In safe letters, with its ending.
     */
    name: string;
    /**
     * The whole file; empty where only names were wanted.
     */
    text: string;
}

/**
 * A file read back.
 */
export interface FileRead {
    /**
     * Its name.
     */
    name: string;
    /**
     * How far all that is drawn reaches, in its own numbers, where its unit is not known.
     */
    asks_unit: string | null;
    /**
     * The unit that was said; empty where none was.
     */
    unit: string;
    /**
     * Some of its boards have no thickness of their own.
     */
    asks_thickness: boolean;
    /**
     * The thickness that was said, as it was typed.
     */
    thickness: string;
    /**
     * Layers, ids and groups of a drawing, and what they are taken for.
     */
    names: NameRead[];
    /**
     * Its boards; `line` is the place of each, from 0.
     */
    boards: BoardRead[];
    /**
     * The places of those that are left out.
     */
    without: number[];
    /**
     * What could not be used, by the lines of the file.
     */
    told: LineTold[];
}

/**
 * Files, and what is to be known of them.
 */
export interface FilesOut {
    /**
     * A file name for all of them together.
     */
    name: string;
    /**
     * The files, kind by kind.
     */
    files: FileOut[];
    /**
     * What keeps files from being made.
     */
    wrong: WrongField[];
    /**
     * Usual sheets of labels for this paper; that to be cut out of plain paper is called "plain".
     */
    grids: Choice[];
    /**
     * Which of them is used.
     */
    grid: string;
    /**
     * Its measures, as they would be typed.
     */
    measures: string[];
    /**
     * How many labels a sheet has; 0 where its measures are wrong.
     */
    on_a_sheet: number;
    /**
     * The overlap where none is typed.
     */
    usual_overlap: string;
}

/**
 * What files of boards come to. Nothing of it is in the job before it is taken.
 */
export interface FilesRead {
    /**
     * Each file, in the order in which they were given.
     */
    files: FileRead[];
    /**
     * How many boards would be taken.
     */
    count: number;
    /**
     * Why nothing can be taken yet.
     */
    missing: string | null;
    /**
     * What a drawing can be measured in.
     */
    units: Choice[];
    /**
     * What a layer or an id can mean.
     */
    meanings: Choice[];
}

/**
 * Which files are wanted, and how. What is typed may be empty: then the usual counts.
 */
export interface FilesWanted {
    /**
     * In this order.
     */
    kinds: FileKind[];
    /**
     * The files themselves are wanted, and not only their names.
     */
    texts: boolean;
    /**
     * Paper of pages and templates; labels lie on A4 or Letter.
     */
    paper: Paper;
    /**
     * Of lists.
     */
    between: BetweenCells;
    /**
     * The sheet of labels: a value of `grids`, or "own" for one that is typed.
     */
    grid: string;
    /**
     * One that is typed: rows, columns, width and height of a label, margins left and top, gaps across and down.
     */
    measures: string[];
    /**
     * The first label that is still on the first sheet.
     */
    first: string;
    /**
     * By how much the sheets of a template overlap.
     */
    overlap: string;
    /**
     * As it shall stand on labels and templates.
     */
    date: string;
}

/**
 * One thing that the checker found.
 */
export interface Finding {
    /**
     * The rule.
     */
    rule: Rule;
    /**
     * How serious.
     */
    severity: Severity;
    /**
     * A stable name of the cause within the rule, such as `zone-too-near`.
     */
    cause: string;
    /**
     * The board, if one is concerned.
     */
    board?: BoardCopy;
    /**
     * The parts concerned.
     */
    parts: PartCopy[];
    /**
     * The zone concerned: its place in the board's list.
     */
    zone?: number;
    /**
     * Where, in the board's frame.
     */
    at?: { x: number; y: number };
    /**
     * By how much.
     */
    amount?: Amount;
    /**
     * The sentence a maker reads, in the job's units.
     */
    message: string;
}

/**
 * Something that the checker found in the plan.
 */
export interface FindingRow {
    /**
     * Names its note on the floor.
     */
    id: string;
    /**
     * Number of the rule, 1 to 12.
     */
    rule: number;
    /**
     * How serious.
     */
    severity: Severity;
    /**
     * The sentence.
     */
    message: string;
    /**
     * The board.
     */
    board: CopyOf | null;
    /**
     * The parts.
     */
    parts: CopyOf[];
    /**
     * Where on the floor, if it has a place: x.
     */
    x: number | null;
    /**
     * Where on the floor, if it has a place: y.
     */
    y: number | null;
}

/**
 * A straight line over the floor, in its drawing units: millimetres, y down.
 */
export interface FloorLine {
    /**
     * One end.
     */
    x1: number;
    /**
     * One end.
     */
    y1: number;
    /**
     * The other end.
     */
    x2: number;
    /**
     * The other end.
     */
    y2: number;
}

/**
 * What came of some work on the floor under the cost.
 */
export interface FloorWork {
    /**
     * It rose: the plan's summary says something new.
     */
    rose: boolean;
    /**
     * More work may raise it.
     */
    goes_on: boolean;
}

/**
 * A form.
 */
export interface Form {
    /**
     * What it is about; null when there is no such thing (any more).
     */
    thing: Thing | null;
    /**
     * Heading.
     */
    title: string;
    /**
     * Fields in order; neighbours of one group belong together.
     */
    fields: Field[];
    /**
     * Tables after the fields.
     */
    tables: Table[];
    /**
     * A board with a measured cup: what it finishes at, whole and ripped into more and more staves.
     */
    ripped: Ripped[];
    /**
     * Problems of this thing that belong to no single field.
     */
    problems: string[];
    /**
     * It can be removed.
     */
    removable: boolean;
}

/**
 * One group of the drawing.
 */
export interface Fragment {
    /**
     * `board-A-1`, `part-leg-2`, `note-3`, `cuts-A-1`, `ruler`...
     */
    id: string;
    /**
     * SVG text: one `g` element with that id.
     */
    svg: string;
    /**
     * Drawn in the order of layers, then of ids.
     */
    layer: number;
    /**
     * The board it shows or lies on.
     */
    board: CopyOf | null;
    /**
     * The part it shows.
     */
    part: CopyOf | null;
}

/**
 * The frame in which a board's straight cuts are square: board = origin + turned frame.
 */
export interface Frame {
    /**
     * Origin in the board's frame.
     */
    x: number;
    /**
     * Origin in the board's frame.
     */
    y: number;
    /**
     * Degrees from the board's x to the frame's x.
     */
    angle: number;
}

/**
 * A gap under a straight edge and the span over which it was measured.
 */
export interface GapOver {
    /**
     * Greatest gap.
     */
    gap: Length;
    /**
     * Span of the straight edge; the whole board where missing.
     */
    over?: Length;
}

/**
 * A part in the hand.
 */
export interface Held {
    /**
     * There is one; false where it could not be picked up (see `problem`).
     */
    held: boolean;
    /**
     * Why not.
     */
    problem: string | null;
    /**
     * The middle of its blank on the floor: x.
     */
    x: number;
    /**
     * The middle of its blank on the floor: y.
     */
    y: number;
    /**
     * Degrees, counter-clockwise as seen.
     */
    turn: number;
    /**
     * Its up face lies down.
     */
    turned_over: boolean;
    /**
     * Fragment to move; it is drawn once and then moved by `transform`.
     */
    fragment: Fragment | null;
    /**
     * SVG transform of the fragment.
     */
    transform: string;
    /**
     * The board under it.
     */
    board: CopyOf | null;
    /**
     * It jumped to a neighbour, edge or grain.
     */
    snapped: boolean;
    /**
     * It could be dropped here with every rule kept.
     */
    fits: boolean;
    /**
     * What is wrong here.
     */
    findings: FindingRow[];
    /**
     * In one sentence.
     */
    sentence: string;
}

/**
 * How a face changes with the part in the hand.
 */
export interface HeldFigure {
    /**
     * The face.
     */
    face: string;
    /**
     * The part's id, `#` and its copy, as in `data-figure`.
     */
    figure: string;
    /**
     * SVG transform of its group.
     */
    transform: string;
    /**
     * What the group holds, where that is other than it was the last time.
     */
    pictures: string | null;
}

/**
 * A line of a cut while it is drawn over the floor.
 */
export interface HeldLine {
    /**
     * The board or piece that it runs over; none where it misses all of them.
     */
    board: CopyOf | null;
    /**
     * One end, where the line leaves the wood, on the floor.
     */
    x1: number;
    /**
     * One end.
     */
    y1: number;
    /**
     * The other end.
     */
    x2: number;
    /**
     * The other end.
     */
    y2: number;
    /**
     * It jumped to a mark or was turned square.
     */
    snapped: boolean;
    /**
     * "across A2, 640 mm from the start end", or why it cannot be cut there.
     */
    sentence: string;
    /**
     * It can be cut.
     */
    fits: boolean;
}

export interface InitOutput {
    readonly memory: WebAssembly.Memory;
}

/**
 * A kept plan.
 */
export interface KeptRow {
    /**
     * Its name.
     */
    name: string;
    /**
     * "25 of 25 placed, 116.30".
     */
    text: string;
    /**
     * It is the plan on the floor.
     */
    shown: boolean;
    /**
     * What the checker says of it now.
     */
    verdict: VerdictKind;
}

/**
 * What comes out of one board.
 */
export interface Layout extends BoardCopy {
    /**
     * How it is cut.
     */
    way: Way;
    /**
     * The frame of its straight cuts.
     */
    frame?: Frame;
    /**
     * The parts on it.
     */
    placements: Placement[];
    /**
     * The straight cuts; none while none has been found.
     *
     * On a sawn board those that break it down into regions before anything is sawn by line;
     * none where it is sawn whole.
     */
    cuts?: CutTree;
}

/**
 * A length as it was understood.
 */
export interface LengthRead {
    /**
     * Millimetres; null where it could not be read.
     */
    mm: number | null;
    /**
     * As the job shows lengths.
     */
    shown: string | null;
    /**
     * What is wrong, with the mend.
     */
    problem: string | null;
}

/**
 * A label and a value.
 */
export interface Line {
    /**
     * Label.
     */
    label: string;
    /**
     * Value.
     */
    value: string;
}

/**
 * A sentence about a place of a line.
 */
export interface LineTold {
    /**
     * The line, from 1.
     */
    line: number;
    /**
     * The column, from 1.
     */
    column: number;
    /**
     * What is wrong and how to mend it.
     */
    message: string;
    /**
     * The line can be taken all the same.
     */
    harmless: boolean;
    /**
     * The line just ends too early: whoever types is not there yet.
     */
    unfinished: boolean;
}

/**
 * The longest blank that any board gives.
 */
export interface Longest extends BoardCopy {
    /**
     * Its length along the row, in millimetres, rounded down to whole ones.
     */
    length: number;
}

/**
 * A place of a face where a measure is lost, in millimetres from the upper left corner of its picture.
 */
export interface LostPlace {
    /**
     * From the left.
     */
    x: number;
    /**
     * From above.
     */
    y: number;
    /**
     * To the right.
     */
    width: number;
    /**
     * Downwards.
     */
    height: number;
    /**
     * What of the loss lies there, from 0 to 1.
     */
    share: number;
}

/**
 * The numbers that make the same plan again.
 */
export interface Made {
    /**
     * Seed of the generator.
     */
    seed?: number;
    /**
     * Steps each worker made.
     */
    steps?: number;
    /**
     * Workers.
     */
    workers?: number;
}

/**
 * Parts that must look related.
 */
export interface Match {
    /**
     * What is asked.
     */
    kind: MatchKind;
    /**
     * Copies of parts, in order.
     */
    parts: PartCopy[];
    /**
     * How they are to look together; how they answer each other the kind says already.
     */
    wish?: Wish;
}

/**
 * One measure of a face.
 */
export interface MeasureRow {
    /**
     * "Halves answer each other".
     */
    name: string;
    /**
     * From 0 to 1, the best; null where nothing can be said.
     */
    value: number | null;
    /**
     * "0.82".
     */
    text: string;
    /**
     * "left end of the lower half"; empty where nothing is lost.
     */
    lost_at: string;
    /**
     * Where it is lost, the worst first.
     */
    lost: LostPlace[];
}

/**
 * A name in a drawing.
 */
export interface NameRead {
    /**
     * As it is written there.
     */
    name: string;
    /**
     * "3 shapes".
     */
    shapes: string;
    /**
     * What it was taken for; empty where the shapes' place tells.
     */
    meaning: string;
}

/**
 * The offcuts worth keeping as the boards of a new job.
 */
export interface OffcutsHome {
    /**
     * The file of that job; empty where there is no offcut worth keeping.
     */
    job: string;
    /**
     * How many they are.
     */
    count: number;
    /**
     * "3 offcuts as boards of a new job", or why there are none.
     */
    sentence: string;
}

/**
 * What became of an offered plan.
 */
export interface Offered {
    /**
     * It was checked, is better than what was there, and is shown now.
     */
    taken: boolean;
    /**
     * Why not.
     */
    problem: string | null;
    /**
     * A sentence to show and to read aloud.
     */
    announce: string | null;
}

/**
 * Where a board lies on the floor.
 */
export interface OnFloor extends BoardCopy {
    /**
     * Millimetres from the floor's left.
     */
    x: number;
    /**
     * Millimetres up from the floor's origin.
     */
    y: number;
}

/**
 * A column of a pasted list whose heading is not known.
 */
export interface OpenColumn {
    /**
     * Which it is, from 0.
     */
    at: number;
    /**
     * Its heading.
     */
    heading: string;
    /**
     * What it can be said to mean.
     */
    meanings: Choice[];
}

/**
 * What opening a file did.
 */
export interface Opened {
    /**
     * The file is now the job on the floor. Where not, the old job is still there.
     */
    accepted: boolean;
    /**
     * What is wrong with the file or with the job in it.
     */
    problems: ProblemRow[];
}

/**
 * What a call did.
 */
export interface Outcome {
    /**
     * The job was changed (or the thing asked for was done).
     */
    done: boolean;
    /**
     * Why not, or what is wrong with what was typed: a sentence with its mend.
     */
    problem: string | null;
    /**
     * What was added, changed or moved: select it.
     */
    thing: Thing | null;
    /**
     * A sentence to show and to read aloud.
     */
    announce: string | null;
    /**
     * Rows that could not be used.
     */
    bad_rows: BadRow[];
    /**
     * Columns of a pasted list to be asked about.
     */
    columns: OpenColumn[];
    /**
     * Parts that no straight cut can separate.
     */
    inseparable: CopyOf[];
    /**
     * How to get out of that.
     */
    offers: SawOffer[];
}

/**
 * The staves that one copy of a panel is glued up from.
 */
export interface PanelChoice extends PartCopy {
    /**
     * Its staves, in the order in which they are glued: the first lies lowest in the panel's frame.
     */
    staves: Stave[];
}

/**
 * One copy of a panel as it is glued up.
 */
export interface PanelSheet {
    /**
     * The panel.
     */
    panel: CopyOf;
    /**
     * "Top".
     */
    title: string;
    /**
     * "1500 × 700 × 20 mm, glued up from 6 staves".
     */
    facts: string;
    /**
     * What its faces are asked for by. In their pictures each stave is a group with its number in
     * `data-stave`, each of its pieces one with its own in `data-piece`.
     */
    key: string;
    /**
     * What the mark across the joints means.
     */
    mark: string;
    /**
     * Its staves as they lie in the picture: the uppermost first.
     */
    staves: StaveRow[];
    /**
     * What is wrong with it as it is glued up.
     */
    problems: string[];
    /**
     * How it moves over the year and what room that needs.
     */
    movement: Line[];
    /**
     * What that rests on, or why it is not known.
     */
    movement_because: string;
}

/**
 * One copy of a part.
 */
export interface PartCopy {
    /**
     * The part's id.
     */
    part: string;
    /**
     * 1, 2, ... up to the part's count.
     */
    copy?: number;
}

/**
 * A part in the table.
 */
export interface PartRow {
    /**
     * It.
     */
    thing: Thing;
    /**
     * Its id.
     */
    id: string;
    /**
     * What it is called.
     */
    name: string;
    /**
     * How many.
     */
    count: number;
    /**
     * "742 x 56 to 32 x 32".
     */
    finished: string;
    /**
     * "770 x 66 x 36".
     */
    blank: string;
    /**
     * "along, within 3°".
     */
    grain: string;
    /**
     * "one face seen".
     */
    faces: string;
    /**
     * "straight cuts" or "sawn by line".
     */
    cut: string;
    /**
     * The thickness sentence of the board that does best: "27 finishes at most 23.4 here".
     */
    thickest: string | null;
    /**
     * The same for each class of boards.
     */
    classes: ThicknessClass[];
    /**
     * "2 on A, 1 on C, 1 on the trestle".
     */
    placed: string;
    /**
     * How many copies are placed.
     */
    placed_count: number;
    /**
     * How many copies are pinned.
     */
    pinned_count: number;
    /**
     * How it is glued up: "3 staves, 133 wide each"; empty for a part in one piece.
     */
    glued: string;
    /**
     * Copy by copy; of a panel stave by stave, as they are glued.
     */
    copies: CopyRow[];
    /**
     * How many problems it has as typed.
     */
    problems: number;
    /**
     * It takes part in setting out.
     */
    sound: boolean;
}

/**
 * Marks of a photograph, in the order in which they were tapped.
 */
export interface PhotoAsked {
    /**
     * How the first of them are laid: four of corners and rectangles, two of a rule. Those may be tapped in
     * any order.
     */
    laid: PhotoLaid;
    /**
     * The board's length, the rectangle's, the rule's; in millimetres.
     */
    length: number;
    /**
     * The width of the board's left end, or of the rectangle.
     */
    width: number;
    /**
     * The width of the board's right end; as the left one unless given.
     */
    right_width?: number | null;
    /**
     * The rule lies across the board.
     */
    across?: boolean;
    /**
     * So many quarters of a turn further round than they were taken to lie.
     */
    turned?: number;
    /**
     * The marks.
     */
    marks: PhotoMarkAsked[];
    /**
     * Lengths to check them by.
     */
    checks?: PhotoCheck[];
}

/**
 * A length that is known between two places of the photograph, to check the marks by.
 */
export interface PhotoCheck {
    /**
     * Where it begins.
     */
    from: PhotoSpot;
    /**
     * Where it ends.
     */
    to: PhotoSpot;
    /**
     * How long it is in truth, in millimetres.
     */
    length: number;
}

/**
 * How far a straightened photograph may be off.
 */
export interface PhotoError {
    /**
     * In millimetres, at the left end and at the right end.
     */
    ends: [number, number];
    /**
     * The same as a sentence.
     */
    told: string;
}

/**
 * What a photograph says of the figure.
 */
export interface PhotoFigure {
    /**
     * The map, as the session takes it; empty where none could be made.
     */
    map: string;
    /**
     * Why it tells nothing, as a sentence.
     */
    problem: string | null;
}

/**
 * How well the marks of a photograph fit.
 */
export interface PhotoFit {
    /**
     * Null while nothing can be straightened; the remarks say why.
     */
    error: PhotoError | null;
    /**
     * How far marks and lengths that are to spare are off, as a sentence.
     */
    misfit: string | null;
    /**
     * What to know, and what to mend.
     */
    remarks: PhotoRemark[];
    /**
     * Where the corners of what was measured are seen, from the lower left one counter-clockwise; none while
     * nothing can be straightened.
     */
    corners: PhotoSpot[];
    /**
     * What each mark was taken for.
     */
    marks: PhotoMarkTaken[];
    /**
     * What is shown unless told otherwise: x and y from, x and y to, in millimetres of the board's frame.
     */
    shown: [number, number, number, number];
}

/**
 * A mark: where it is seen, and what was typed of its place.
 */
export interface PhotoMarkAsked {
    /**
     * Where it is seen.
     */
    seen: PhotoSpot;
    /**
     * Millimetres along and across; not asked of the marks that the way they are laid tells of.
     */
    place?: [number, number] | null;
}

/**
 * What a mark was taken for.
 */
export interface PhotoMarkTaken {
    /**
     * Which corner or end it is; null of marks with a place of their own.
     */
    name: string | null;
    /**
     * Millimetres along and across; null while too few marks are set.
     */
    place: [number, number] | null;
}

/**
 * Something to know about the marks, as a sentence.
 */
export interface PhotoRemark {
    /**
     * What it is, and how to mend it.
     */
    text: string;
    /**
     * The marks it is about, from 0.
     */
    marks: number[];
    /**
     * Nothing can be straightened before it is mended.
     */
    in_the_way: boolean;
}

/**
 * A photograph of the job.
 */
export interface PhotoRow {
    /**
     * SHA-256 of its file.
     */
    hash: string;
    /**
     * Its board; null where that is not there.
     */
    board: Thing | null;
    /**
     * "board A, up face".
     */
    title: string;
}

/**
 * What was seen in a straightened picture.
 */
export interface PhotoSeen {
    /**
     * Why nothing can be seen in it.
     */
    problem: string | null;
    /**
     * The board's outline, one line without its first point again at the end; null where it was given or no
     * board was seen.
     */
    outline: PhotoSeenLines | null;
    /**
     * Knots, splits, bark and sapwood, the surest of each kind first.
     */
    areas: PhotoSeenArea[];
    /**
     * Lines along the grain.
     */
    grain: PhotoSeenLines | null;
}

/**
 * An area that was seen: a proposal, used by nothing until it is accepted.
 */
export interface PhotoSeenArea {
    /**
     * What it looks like.
     */
    kind: PhotoSeenKind;
    /**
     * An oval in the box of its corners; otherwise corner by corner.
     */
    oval: boolean;
    /**
     * Its corners, in millimetres of the frame of the straightened picture.
     */
    corners: [number, number][];
    /**
     * From 0 (a guess) to 1.
     */
    sure: number;
    /**
     * What speaks for it, as a sentence.
     */
    because: string;
}

/**
 * Lines that were seen, proposed like areas.
 */
export interface PhotoSeenLines {
    /**
     * The lines, in millimetres of the frame of the straightened picture.
     */
    lines: [number, number][][];
    /**
     * From 0 (a guess) to 1; of outlines that are 0.7 sure or more 95 in 100 are right within 3 % of the area.
     */
    sure: number;
    /**
     * What speaks for it, as a sentence.
     */
    because: string;
}

/**
 * A place in the photograph: pixels from the left and from the top.
 */
export interface PhotoSpot {
    /**
     * From the left.
     */
    x: number;
    /**
     * From the top.
     */
    y: number;
}

/**
 * What is taken of a straightened photograph, all in millimetres of the frame of its picture.
 */
export interface PhotoTaken {
    /**
     * The board whose face it shows; a new one where null.
     */
    board?: Thing | null;
    /**
     * The face: the down face where it says so, else the up face.
     */
    face: ZoneFace;
    /**
     * SHA-256 of the picture's file, in hexadecimal; empty where only what was traced over it is taken.
     */
    hash: string;
    /**
     * Side of a pixel in millimetres.
     */
    pixel: number;
    /**
     * The picture's lower left corner.
     */
    origin: [number, number];
    /**
     * Pixels in a row, and rows.
     */
    size: [number, number];
    /**
     * The same of the photograph.
     */
    original: [number, number];
    /**
     * The marks, each with its place.
     */
    marks: PhotoMarkAsked[];
    /**
     * The board's outline as it was measured or seen.
     */
    outline: [number, number][];
    /**
     * A board that is there already gets this outline. Otherwise it keeps its own.
     */
    new_outline?: boolean;
    /**
     * It shows a part of a board that is there, in the board's own frame: its marks were measured along all of
     * it. An outline then joins the board's own.
     */
    part?: boolean;
    /**
     * It is taken as it is, though it looks as if it lay otherwise.
     */
    sure?: boolean;
    /**
     * Marked areas.
     */
    zones: PhotoZone[];
    /**
     * Lines along the grain; none where the board's grain stays as it is.
     */
    grain: [number, number][][];
    /**
     * Thickness of a new board as it was typed; as the last one bought where empty.
     */
    thickness?: string;
    /**
     * The map of its figure as a worker made it; empty where none was made.
     */
    figure?: string;
    /**
     * Species of a new board; as the last one bought where empty.
     */
    species?: string;
}

/**
 * A photograph of the job of which no map of figure was made yet.
 */
export interface PhotoToMap {
    /**
     * SHA-256 of its file.
     */
    hash: string;
    /**
     * Side of a pixel in millimetres.
     */
    pixel: number;
    /**
     * The picture's lower left corner, in millimetres of the frame of the face.
     */
    origin: [number, number];
    /**
     * Its board's outline in that frame: x and y of its points in turn.
     */
    outline: number[];
}

/**
 * A photograph of an invented log whose picture is not at hand and can be made.
 */
export interface PhotoToRender {
    /**
     * Its row among the job's photographs.
     */
    row: number;
    /**
     * The log's number.
     */
    log: number;
    /**
     * Which of its boards.
     */
    board: number;
    /**
     * It shows the down face.
     */
    is_down: boolean;
    /**
     * Pixels in a row, and rows.
     */
    size: [number, number];
    /**
     * How large they are, where they lie, and its board's outline; of the hash that it had, if any.
     */
    place: PhotoToMap;
}

/**
 * A photograph at true scale, as it is about to be made.
 */
export interface PhotoTrue {
    /**
     * Why it cannot be made.
     */
    problem: string | null;
    /**
     * Pixels in a row, and rows.
     */
    size: [number, number];
    /**
     * Side of a pixel in millimetres.
     */
    pixel: number;
    /**
     * The lower left corner, in millimetres of the board's frame.
     */
    origin: [number, number];
}

/**
 * An area seen on a photograph.
 */
export interface PhotoZone {
    /**
     * What it marks.
     */
    kind: ZoneKind;
    /**
     * "knot", "split": shown on the picture.
     */
    note?: string;
    /**
     * An oval in the box of its corners; otherwise corner by corner.
     */
    oval?: boolean;
    /**
     * Its corners, in millimetres of the frame of the straightened picture.
     */
    corners: [number, number][];
}

/**
 * A piece that a cut left.
 */
export interface PieceLeft {
    /**
     * It; none where it is there no more.
     */
    board: CopyOf | null;
    /**
     * Its chalk name, or the part it is the blank of: "C3", "Leg 2".
     */
    name: string;
    /**
     * "in hand", "cut again", "310 \u{d7} 96".
     */
    state: string;
    /**
     * It was measured after it was cut.
     */
    measured: boolean;
}

/**
 * A part that stays where the person put it.
 */
export interface Pin extends PartCopy, Placed {
    /**
     * On which board; copy 1 unless set.
     */
    board: string;
    /**
     * On which copy of the board.
     */
    board_copy?: number;
}

/**
 * Where a problem is.
 */
export interface Place {
    /**
     * The kind of thing.
     */
    subject: Subject;
    /**
     * Its id where it has one.
     */
    id?: string;
    /**
     * Its name or another label a person knows it by.
     */
    name?: string;
    /**
     * Its place in the list, from 0.
     */
    row?: number;
    /**
     * The field, as a path such as `outline.stations[2].left`.
     */
    field?: string;
    /**
     * Line of a file, from 1.
     */
    line?: number;
    /**
     * Column of a file, from 1.
     */
    column?: number;
}

/**
 * Where something lies on a board: the part's frame is mirrored (y to -y) if turned
 * over, then turned, then moved.
 */
export interface Placed {
    /**
     * Millimetres along the board.
     */
    x: number;
    /**
     * Millimetres across the board.
     */
    y: number;
    /**
     * Degrees, counter-clockwise.
     */
    turn?: number;
    /**
     * The part's up face lies on the board's down face.
     */
    turned_over?: boolean;
}

/**
 * One copy of a part on a board, one stave of it or one leaf of a resawn blank.
 */
export interface Placement extends Placed {
    /**
     * The part's id; that of a stave is made by [`crate::staves::piece_id`].
     */
    part: string;
    /**
     * 1, 2, ... up to the part's count.
     */
    copy?: number;
    /**
     * Which leaf of a resawn blank this is, from 1.
     */
    leaf?: number;
    /**
     * Finished width of a stave, in millimetres: once it is in hand it stays, whatever the plan.
     */
    width?: number;
    /**
     * Finished length of a piece of a stave that is joined end to end, likewise.
     */
    length?: number;
}

/**
 * Which part comes out of which board.
 */
export interface Plan {
    /**
     * One entry for each board cut, in the order of the job's boards.
     */
    layouts?: Layout[];
    /**
     * What found no place.
     */
    unplaced?: Unplaced[];
    /**
     * The dimensions it was made with.
     */
    dimensions?: DimensionValue[];
    /**
     * The staves that its panels are made of.
     */
    panels?: PanelChoice[];
    /**
     * What was found with sizes nearer to those preferred, for each that is not as preferred.
     */
    tried?: Tried[];
    /**
     * Claimed cost; worked out again on opening.
     */
    cost?: number;
    /**
     * The cost of the cheapest plan with as many parts that its search came to, where better figure made this one
     * dearer: a claim, told and never relied on.
     */
    cheapest?: number;
    /**
     * Claimed bound; worked out again before it is shown.
     */
    bound?: Bound | undefined;
    /**
     * The numbers that repeat it.
     */
    made?: Made;
    /**
     * The revision of the document it was made for.
     */
    revision?: number;
}

/**
 * The plan on the floor.
 */
export interface PlanSummary {
    /**
     * "All 25 parts placed", "22 of 25 parts placed".
     */
    sentence: string;
    /**
     * What the checker says.
     */
    verdict: VerdictKind;
    /**
     * In words: "Checked against every rule", "3 things are wrong".
     */
    verdict_text: string;
    /**
     * The plan was made before the last change: a sentence that says so.
     */
    stale: string | null;
    /**
     * "Timber used": what is spent and what is still to be.
     */
    cost: string;
    /**
     * "60.00 spent, 56.30 still to spend"; none before the first cut.
     */
    spent: string | null;
    /**
     * "no plan can be under 113.90"; null where there is no bound yet.
     */
    bound: string | null;
    /**
     * Why the bound holds.
     */
    bound_because: string | null;
    /**
     * Label and value for the figures shown under the line.
     */
    figures: Line[];
    /**
     * Each size that is otherwise than preferred, and what is in the way: "reach is 455 mm, 500 mm
     * preferred. At 500 mm: Leg 1 sticks out of board A."
     */
    sizes: string[];
    /**
     * What found no place.
     */
    unplaced: UnplacedRow[];
    /**
     * "starting number 1, 4,000 steps, 2 workers"; null for a plan laid by hand.
     */
    made: string | null;
    /**
     * The way to it.
     */
    progress: Progress | null;
    /**
     * Copies placed.
     */
    placed_count: number;
    /**
     * Copies wanted.
     */
    wanted_count: number;
}

/**
 * A price.
 */
export interface Price {
    /**
     * In the job's currency.
     */
    amount: number;
    /**
     * What the amount buys.
     */
    per?: PricePer;
}

/**
 * Something wrong with the job as typed.
 */
export interface ProblemRow {
    /**
     * Stable name of the problem.
     */
    code: string;
    /**
     * How serious.
     */
    level: Level;
    /**
     * Where, in words: "Board A, widths by tape, row 3".
     */
    place: string;
    /**
     * What is wrong.
     */
    message: string;
    /**
     * How to mend it.
     */
    hint: string | null;
    /**
     * The form to open.
     */
    thing: Thing | null;
    /**
     * The field in it.
     */
    field: string | null;
}

/**
 * The way to the plan, for a small measure from the bound to the first plan.
 */
export interface Progress {
    /**
     * Better and better plans of this set-out, oldest first.
     */
    points: ProgressPoint[];
    /**
     * The bound as a number; null while parts are missing, of which it does not speak.
     */
    bound: number | null;
    /**
     * Cost of the plan on the floor.
     */
    cost_text: string;
    /**
     * Cost of the first plan with as many parts.
     */
    first_text: string;
    /**
     * The bound in words: "113.90".
     */
    bound_text: string;
    /**
     * What got better, in one sentence.
     */
    sentence: string;
}

/**
 * One better plan on the way.
 */
export interface ProgressPoint {
    /**
     * Steps made when it was found.
     */
    steps: number;
    /**
     * Its cost as a number.
     */
    cost: number;
    /**
     * Copies not placed.
     */
    missing: number;
}

/**
 * A rectangle of the floor in its drawing units: millimetres, y down.
 */
export interface Rectangle {
    /**
     * Left.
     */
    x: number;
    /**
     * Top.
     */
    y: number;
    /**
     * Width.
     */
    width: number;
    /**
     * Height.
     */
    height: number;
}

/**
 * What a cupped board finishes at if it is ripped into staves first.
 */
export interface Ripped {
    /**
     * How many staves; one is the whole board.
     */
    staves: number;
    /**
     * How wide each is.
     */
    width: string;
    /**
     * How thick each is once it is flat.
     */
    finishes_at: string;
}

/**
 * A mark of the ruler along the top of the floor.
 */
export interface RulerMark {
    /**
     * Where it stands, in the floor's millimetres.
     */
    at: number;
    /**
     * The number at it, in the job's units.
     */
    label: string | null;
}

/**
 * An offer after a drop that no straight cuts can reach.
 */
export interface SawOffer {
    /**
     * The part to saw by line: the argument of `saw_by_line`.
     */
    part: CopyOf;
    /**
     * Label of the button.
     */
    label: string;
}

/**
 * What changed on the floor.
 */
export interface Scene {
    /**
     * All that is drawn.
     */
    bounds: Rectangle;
    /**
     * Fragments whose text is new.
     */
    fragments: Fragment[];
    /**
     * Ids of fragments that are gone.
     */
    removed: string[];
    /**
     * Where the boards lie: the trestle is not among them.
     */
    boards: BoardPlace[];
    /**
     * The words of the drawing for those who cannot see it.
     */
    description: string;
}

/**
 * Figures of a search's best plan.
 */
export interface SearchFigures {
    /**
     * Its cost as a number.
     */
    cost: number;
    /**
     * Its cost in words.
     */
    cost_text: string;
    /**
     * The bound as a number.
     */
    bound: number | null;
    /**
     * The bound in words.
     */
    bound_text: string | null;
    /**
     * Copies placed.
     */
    placed: number;
    /**
     * Copies wanted.
     */
    wanted: number;
}

/**
 * Settings of one worker's search. The same settings and job give the same plan.
 */
export interface SearchSettings {
    /**
     * Seed of the generator.
     */
    seed: number;
    /**
     * Which worker this is, from 0.
     */
    worker: number;
    /**
     * How many workers there are.
     */
    workers: number;
    /**
     * How boards may be cut.
     */
    way?: WayAsked;
}

/**
 * Where a search is.
 */
export interface SearchStatus {
    /**
     * Steps made in all.
     */
    steps: number;
    /**
     * The best plan became better in this call.
     */
    improved: boolean;
    /**
     * There is nothing left to try.
     */
    finished: boolean;
}

/**
 * What is selected, in words.
 */
export interface SelectionSheet {
    /**
     * "Leg 2".
     */
    title: string;
    /**
     * "on board C", "on the trestle".
     */
    subtitle: string;
    /**
     * Its figures.
     */
    lines: Line[];
    /**
     * The form that edits it.
     */
    thing: Thing | null;
    /**
     * The copy, if a part is selected.
     */
    part: CopyOf | null;
    /**
     * The copy, if a board is selected.
     */
    board: CopyOf | null;
    /**
     * It is placed on a board.
     */
    placed: boolean;
    /**
     * It stays where it is.
     */
    pinned: boolean;
    /**
     * It may be turned over.
     */
    may_turn_over: boolean;
    /**
     * It is sawn by line.
     */
    sawn: boolean;
}

/**
 * What a search needs to start.
 */
export interface SetOutStart {
    /**
     * False where nothing can be set out; see `problem`.
     */
    ready: boolean;
    /**
     * Why not.
     */
    problem: string | null;
    /**
     * Some boards are cut already: the rest is set out, and what still holds stays if it can.
     */
    rest: boolean;
    /**
     * What is looked at: "40 boards and 300 parts".
     */
    what: string;
    /**
     * The job for `new Search(document, ...)`.
     */
    document: string;
    /**
     * Handed back with every offer.
     */
    revision: number;
    /**
     * Steps each worker makes in a round.
     */
    steps_per_round: number;
    /**
     * Workers by default.
     */
    workers: number;
}

/**
 * A drawing that stands alone.
 */
export interface Sheet {
    /**
     * File name in safe letters.
     */
    name: string;
    /**
     * "Board A".
     */
    title: string;
    /**
     * A whole SVG document; empty where there is nothing to draw.
     */
    svg: string;
    /**
     * Width of the drawing in millimetres.
     */
    width_mm: number;
    /**
     * Height of the drawing in millimetres.
     */
    height_mm: number;
}

/**
 * A tool, named dimension, species or match in its table.
 */
export interface SimpleRow {
    /**
     * It.
     */
    thing: Thing;
    /**
     * What it is called.
     */
    name: string;
    /**
     * The rest in words.
     */
    text: string;
    /**
     * How many problems it has as typed.
     */
    problems: number;
}

/**
 * A small picture, 80 by 30 units: two paths of an SVG.
 */
export interface SmallPicture {
    /**
     * The wood.
     */
    wood: string;
    /**
     * What is looked at or laid on it.
     */
    sign: string;
}

/**
 * Everything that the header and the side sheet show.
 */
export interface State {
    /**
     * Which of the four places this is for.
     */
    place: PageName;
    /**
     * What the piece is called.
     */
    title: string;
    /**
     * `mm` or `in`.
     */
    units: string;
    /**
     * Counts the changes that a plan depends on, undone ones included: plans begun at another number are dropped.
     */
    revision: number;
    /**
     * What `undo` would take back, in words that follow "Undo:".
     */
    undo: string | null;
    /**
     * What `redo` would do again.
     */
    redo: string | null;
    /**
     * Lines under the four places.
     */
    tabs: Tabs;
    /**
     * What is wrong with the job as typed.
     */
    problems: ProblemRow[];
    /**
     * Boards.
     */
    boards: BoardRow[];
    /**
     * Parts.
     */
    parts: PartRow[];
    /**
     * The plan on the floor.
     */
    plan: PlanSummary | null;
    /**
     * What the checker found in it.
     */
    findings: FindingRow[];
    /**
     * Kept plans.
     */
    kept: KeptRow[];
    /**
     * What waits on the trestle.
     */
    trestle: TrestleRow[];
    /**
     * Tools.
     */
    tools: SimpleRow[];
    /**
     * Named dimensions.
     */
    dimensions: SimpleRow[];
    /**
     * Parts that must look related.
     */
    matches: SimpleRow[];
    /**
     * Species of the maker's own.
     */
    species: SimpleRow[];
    /**
     * What matters most, first to last, in words; only aims that do something.
     */
    aims: string[];
    /**
     * The cuts in order (place `bench` only; empty elsewhere).
     */
    bench: Bench;
    /**
     * What is selected.
     */
    selection: SelectionSheet | null;
    /**
     * The search is on.
     */
    setting_out: boolean;
    /**
     * A sentence to read aloud, said once.
     */
    announce: string | null;
}

/**
 * Widths at one place along the chalk line.
 */
export interface Station {
    /**
     * Distance from the start end.
     */
    at: Length;
    /**
     * Width left of the chalk line.
     */
    left: Length;
    /**
     * Width right of the chalk line.
     */
    right: Length;
}

/**
 * One strip of a panel: in one piece, or of several that are joined end to end.
 */
export interface Stave {
    /**
     * Its number; it keeps it wherever it comes to lie.
     */
    number: number;
    /**
     * Its finished width before gluing, in millimetres: what the joints take included.
     */
    width: number;
    /**
     * Finished lengths of its pieces before joining, in millimetres, from the start of the panel on; none
     * where it is in one piece.
     */
    pieces?: number[];
}

/**
 * A stave in its place in a panel.
 */
export interface StaveRow {
    /**
     * It.
     */
    part: CopyOf;
    /**
     * Its number.
     */
    number: number;
    /**
     * "Stave 3".
     */
    name: string;
    /**
     * "133 wide, from A, heart side up".
     */
    text: string;
}

/**
 * The piece of one cut alone, as it lies at the machine.
 */
export interface StepPicture {
    /**
     * One SVG `g` element, y down.
     */
    svg: string;
    /**
     * What it fills, with room around.
     */
    bounds: Rectangle;
    /**
     * The same in words: which way it lies, where the fence is, which side is kept.
     */
    description: string;
}

/**
 * A table inside a form: the widths by tape of a board, its zones, corners of an outline.
 */
export interface Table {
    /**
     * Heading.
     */
    label: string;
    /**
     * Column headings.
     */
    columns: string[];
    /**
     * Rows.
     */
    rows: TableRow[];
    /**
     * The kind to `add`, with the form's thing as owner.
     */
    adds: ThingKind;
    /**
     * Label of the button that adds a row.
     */
    add_label: string;
    /**
     * True where a row opens a form of its own.
     */
    opens: boolean;
    /**
     * Another row is still to come after the last: the far end was not measured yet.
     */
    goes_on: boolean;
    /**
     * One plain sentence of help.
     */
    hint: string | null;
}

/**
 * One row of a table inside a form.
 */
export interface TableRow {
    /**
     * What the row is, to remove, move or open it.
     */
    thing: Thing;
    /**
     * How a person would call it.
     */
    title: string;
    /**
     * One field for each column; handed back with the form's own thing.
     */
    cells: Field[];
}

/**
 * The line under each of the four places.
 */
export interface Tabs {
    /**
     * "8 boards".
     */
    timber: string;
    /**
     * "25 parts".
     */
    piece: string;
    /**
     * "all placed"; short, so that four fit beside each other on a phone.
     */
    setting_out: string;
    /**
     * "31 cuts".
     */
    bench: string;
}

/**
 * What boards of one thickness and warp give a part.
 */
export interface ThicknessClass {
    /**
     * "A, C".
     */
    boards: string;
    /**
     * "27".
     */
    thickness: string;
    /**
     * Greatest finished thickness there.
     */
    gives: string;
    /**
     * It is enough for this part.
     */
    enough: boolean;
    /**
     * "27 finishes at most 23.4 here".
     */
    sentence: string;
}

/**
 * One thing of the job.
 *
 * Rows and not ids say which, because a job as typed may hold two boards of one id
 * (and the way to mend that is to edit the second).
 */
export interface Thing {
    /**
     * What it is.
     */
    kind: ThingKind;
    /**
     * Its place in the job's list, from 0; for zones, stations and corners the place of their owner.
     */
    row?: number;
    /**
     * Its place in its owner's list, from 0: zones, stations, corners.
     */
    index?: number | null;
    /**
     * For a corner: it belongs to a part and not to a board.
     */
    of_part?: boolean;
}

/**
 * Parts that must look related, as they are seen together.
 */
export interface TogetherSheet {
    /**
     * What its faces are asked for by.
     */
    key: string;
    /**
     * "Door 1 and Door 2".
     */
    title: string;
    /**
     * "Opened like a book, side by side".
     */
    facts: string;
    /**
     * Its grain is upright unless it is turned.
     */
    stands: boolean;
    /**
     * Its parts.
     */
    parts: CopyOf[];
}

/**
 * A part that waits on the trestle, with all its copies that do.
 */
export interface TrestleRow {
    /**
     * The first copy: the one that is taken in the hand.
     */
    part: CopyOf;
    /**
     * All copies that wait, ascending.
     */
    copies: number[];
    /**
     * "Leg 2"; "Leg" where several wait.
     */
    name: string;
    /**
     * "770 x 66 x 36".
     */
    blank: string;
    /**
     * Its extent along; the picture is asked for when it is seen (`trestle_picture`).
     */
    width: number;
    /**
     * Its extent across.
     */
    height: number;
    /**
     * Why it is not placed.
     */
    reason: string | null;
}

/**
 * The best that a search found with a better value of a size than the plan has: a claim, told as the reason
 * against that value and never relied on.
 */
export interface Tried {
    /**
     * The dimension.
     */
    name: string;
    /**
     * Its value there, in millimetres.
     */
    value: number;
    /**
     * Pieces without a place, a stave by its share of the panel.
     */
    missing: number;
    /**
     * Its cost, in the job's unit of cost.
     */
    cost: number;
    /**
     * Boards that it cuts.
     */
    boards: number;
}

/**
 * The lift of one corner and the span over which it was measured.
 */
export interface Twist {
    /**
     * Lift of one corner with the other three down.
     */
    lift: Length;
    /**
     * Length over which it was measured; the whole board where missing.
     */
    over_length?: Length;
    /**
     * Width over which it was measured; the whole board where missing.
     */
    over_width?: Length;
}

/**
 * Copies of a part that found no place.
 */
export interface Unplaced {
    /**
     * The part's id.
     */
    part: string;
    /**
     * The copies.
     */
    copies: number[];
    /**
     * Why.
     */
    reason: UnplacedReason;
    /**
     * The least board that would take one: length, width, thickness in millimetres.
     */
    least_board?: [number, number, number];
    /**
     * Of parts that must lie together: how long a blank of their width some board would give.
     */
    longest?: Longest;
}

/**
 * Copies that found no place.
 */
export interface UnplacedRow {
    /**
     * The copies.
     */
    parts: CopyOf[];
    /**
     * "Leg 2 and Leg 3".
     */
    name: string;
    /**
     * Why, as a sentence.
     */
    reason: string;
    /**
     * The least board that would take one, as a sentence.
     */
    least_board: string | null;
}

/**
 * What is to be drawn.
 */
export interface View {
    /**
     * Which of the four places.
     */
    place: PageName;
    /**
     * Send everything, also what has not changed.
     */
    reset?: boolean;
    /**
     * Screen pixels of one millimetre: labels keep their size on the screen.
     */
    pixels_per_mm?: number | null;
    /**
     * Width over height of the window: boards are laid in columns to suit.
     */
    aspect?: number | null;
    /**
     * Parts to draw as selected.
     */
    selected_parts?: CopyOf[];
    /**
     * The board to draw as selected.
     */
    selected_board?: CopyOf | null;
    /**
     * The cut to pick out, by its number.
     */
    chosen_cut?: number | null;
}

/**
 * What one size would cost over its range, as far as it is known.
 */
export interface WhatIf {
    /**
     * How far it is, or why there is nothing to look at.
     */
    sentence: string;
    /**
     * The value of the best plan found, where that is better than the one on the floor.
     */
    better: number | null;
    /**
     * The same in a sentence without its full stop; may be empty.
     */
    better_text: string;
    /**
     * The values, the least first.
     */
    ranges: WhatIfRange[];
    /**
     * Nothing more is to come.
     */
    done: boolean;
}

/**
 * One value of a size.
 */
export interface WhatIfPoint {
    /**
     * Its place, by which it is taken.
     */
    index: number;
    /**
     * Millimetres.
     */
    value: number;
    /**
     * "1462 mm".
     */
    value_text: string;
    /**
     * Cost of the best plan found, where every part has its place.
     */
    cost: number | null;
    /**
     * What it costs, or how many parts have no place; empty while it is not looked at.
     */
    text: string;
    /**
     * It is the value now.
     */
    is_here: boolean;
    /**
     * It is the value preferred.
     */
    is_preferred: boolean;
    /**
     * A plan that was checked is there to be taken.
     */
    may_be_taken: boolean;
}

/**
 * Neighbouring values of a size that have one thing in their way, or none.
 */
export interface WhatIfRange {
    /**
     * What is in the way as the parts lie now; may be empty.
     */
    why: string;
    /**
     * The values, the least first.
     */
    points: WhatIfPoint[];
}

/**
 * What is wrong with something that was typed.
 */
export interface WrongField {
    /**
     * "first", "overlap", "grid", or the place of a measure, from 0.
     */
    field: string;
    /**
     * The kind that has no files because of it.
     */
    kind: FileKind;
    /**
     * What is wrong, and how to mend it.
     */
    words: string;
}

/**
 * What a maker may put first when plans are compared.
 */
export type Aim = "timber" | "sizes" | "figure" | "labour" | "offcuts";

/**
 * Extra wood round the finished part.
 */
export type Allowances = { end?: Length; edge?: Length; sawn?: Length; planing?: Length; clean_up?: Length } & Record<string, unknown>;

/**
 * By how much a rule is broken.
 */
export type Amount = { unit: "millimetres"; value: number } | { unit: "degrees"; value: number } | { unit: "count"; value: number };

/**
 * How the halves and parts of a face answer each other.
 */
export type Answer = "any" | "mirror" | "run_on";

/**
 * What is asked.
 */
export type AskKind = "measure" | "cut" | "spoil";

/**
 * What stands between the cells of lists.
 */
export type BetweenCells = "commas" | "semicolons";

/**
 * A board as it lies there.
 */
export type Board = { id?: string; name?: string; species?: string; count?: number; use?: Use; outline?: BoardOutline; thickness?: Length; nominal?: Length; surface?: Surface; grain?: BoardGrain; heart_side?: HeartSide; rings?: EndRings; zones?: Zone[]; warp?: Warp; moisture?: number; price?: Price; cuts?: Cuts; note?: string; from?: BoardOrigin; holds?: Placement; leaves?: Placement[]; measured?: boolean } & Record<string, unknown>;

/**
 * An end of a board.
 */
export type BoardEnd = "start" | "far";

/**
 * Direction of the grain.
 */
export type BoardGrain = { angle?: number; lines?: [number, number][][] } & Record<string, unknown>;

/**
 * Where a piece that was cut from a board came from. It is drawn in that board's coordinates.
 */
export type BoardOrigin = { done?: number; side?: Hand } & Record<string, unknown>;

/**
 * The outline of a board.
 */
export type BoardOutline = { form: "tape"; length: Length; stations: Station[]; left?: EdgeKind; right?: EdgeKind; start?: EdgeKind; end?: EdgeKind } | { form: "polygon"; points: [Length, Length][]; sides?: EdgeKind[]; holes?: [Length, Length][][]; hole_sides?: EdgeKind[][] };

/**
 * What must keep clear of a defect.
 */
export type ClearOf = "blank" | "finished";

/**
 * A kind of cut.
 */
export type CutKind = "rip" | "crosscut" | "sawn" | "resaw" | "true_edge";

/**
 * One workpiece of a [`CutTree`] and what becomes of it.
 *
 * A workpiece is the board's outline within an upright rectangle of the frame (the
 * whole plane at the root).
 *
 * A cut with an angle turns the line of reference: the frame of its workpiece is turned about
 * its own origin, and the cut with all below it, on both sides, is told and made in the turned
 * frame. A cut without keeps the frame. A later one may turn again, and back. All in all a
 * workpiece is turned no further than 45 degrees against the layout's frame: beyond that a rip
 * would run more across the board than along it, and is a crosscut.
 */
export type CutNode = { node: "cut"; direction: Direction; tool?: string; at: number; kerf: number; angle?: number; low: number; high: number } | { node: "blank"; placement: number } | { node: "region"; placements: number[] } | { node: "leaves"; placements: number[] } | { node: "offcut" } | { node: "waste" };

/**
 * How a board may be cut.
 */
export type Cuts = "any" | "straight" | "sawn";

/**
 * A named dimension; only these have ranges.
 */
export type Dimension = { name?: string; preferred?: Length; least?: Length; most?: Length; step?: Length } & Record<string, unknown>;

/**
 * A straight cut, as it lies in the frame of its layout.
 */
export type Direction = "rip" | "crosscut";

/**
 * One job: boards, parts and everything decided about them.
 */
export type Document = { format?: string; version?: number; title?: string; units?: Units; currency?: string; timber_rate?: number; offcut_value?: number; figure_worth?: number; workshop?: Workshop; allowances?: Allowances; objective?: Aim[]; dimensions?: Dimension[]; species?: Species[]; boards?: Board[]; parts?: Part[]; matches?: Match[]; panels?: Panel[]; pins?: Pin[]; plan?: Plan; plans?: KeptPlan[]; done?: DoneCut[]; photos?: Photo[]; figure_maps?: FigureMap[]; floor?: OnFloor[]; revision?: number } & Record<string, unknown>;

/**
 * A cut that was made: its board (that copy of it) is no longer there, its pieces are.
 */
export type DoneCut = { id?: number; board?: string; board_copy?: number; line?: [number, number][]; kerf?: number; resawn?: boolean; tool?: string; set_to?: number; layout?: Layout; place?: number } & Record<string, unknown>;

/**
 * What is done to a drawing without a pointer.
 */
export type DrawOrder = "back" | "forward" | "close" | "another" | "remove" | "remove_line" | "next" | "before" | "snap";

/**
 * What a pointer does while something is drawn.
 */
export type DrawStep = "hover" | "press" | "drag" | "release" | "tap" | "give_up";

/**
 * How the pointer draws.
 */
export type DrawWay = "points" | "freehand" | "oval" | "from_middle";

/**
 * What is to be drawn.
 */
export type DrawWhat = "outline" | "area" | "grain";

/**
 * The state of one side of a board.
 */
export type EdgeKind = "raw" | "straight" | "sawn";

/**
 * How the growth rings run in a board.
 */
export type EndRings = { start?: RingRun; end?: RingRun; pith_allowed?: boolean } & Record<string, unknown>;

/**
 * Which faces of a part are seen.
 */
export type Faces = "both" | "one" | "none" | "painted";

/**
 * Kerfs where no tool is named.
 */
export type FallbackKerf = { rip?: Length; crosscut?: Length; sawn?: Length } & Record<string, unknown>;

/**
 * How a field is typed.
 */
export type FieldKind = "length" | "number" | "text" | "note" | "choice" | "flag";

/**
 * Where in its form a field stands.
 */
export type FieldPlace = "start" | "below" | "details";

/**
 * What a photograph says about the figure, on square cells of the face that it shows; whole numbers, so
 * that plans are the same on every machine however it reads pictures. A photograph may have several, with
 * cells of different sizes; one without layers says that nothing could be told of its figure.
 */
export type FigureMap = { photo?: string; cell?: number; origin?: [number, number]; columns?: number; layers?: Record<string, string> } & Record<string, unknown>;

/**
 * A kind of files. A further kind is a variant here and what `files_out` makes of it.
 */
export type FileKind = "dxf" | "csv" | "svg" | "pages" | "labels" | "templates";

/**
 * What a fixing is made of.
 */
export type FixingMaterial = "unknown" | "metal" | "wood";

/**
 * Direction of the grain in a part.
 */
export type GrainAxis = "along" | "across" | "any";

/**
 * What guides a cut.
 */
export type Guide = "none" | "along" | "square";

/**
 * Left (y up) or right (y down), looking from the start end.
 */
export type Hand = "left" | "right";

/**
 * Which face looked towards the middle of the tree.
 */
export type HeartSide = "unknown" | "up" | "down";

/**
 * Which way the staves of a panel face.
 */
export type Hearts = "any" | "alternate" | "same";

export type InitInput = RequestInfo | URL | Response | BufferSource | WebAssembly.Module;

/**
 * A plan that was kept.
 */
export type KeptPlan = { name?: string; plan?: Plan; pins?: Pin[] } & Record<string, unknown>;

/**
 * A length as it stands in a file.
 *
 * `1400` is millimetres; `{"mm": 1400, "typed": "1.4 m"}` remembers what the person
 * wrote (the writing is read again on opening and wins over `mm`), and a bare text
 * (`"1.4 m"`) is taken for that too;
 * `{"expr": "top_length - 2 * overhang"}` is worked out from the named dimensions.
 */
export type Length = number | { mm?: number; typed: string } | { expr: string };

/**
 * How serious a diagnostic is.
 */
export type Level = "error" | "warning" | "note";

/**
 * What is marked with one tap on a board.
 */
export type MarkKind = "knot" | "split" | "sapwood" | "fixing" | "figure";

/**
 * How parts must look related.
 */
export type MatchKind = "same_board" | "continuous_along" | "continuous_across" | "slip" | "book" | "balanced" | "frame";

/**
 * Smallest offcut worth keeping.
 */
export type MinOffcut = { length?: Length; width?: Length } & Record<string, unknown>;

/**
 * The four places, in the order of the work.
 */
export type PageName = "timber" | "piece" | "setting_out" | "bench";

/**
 * A part glued up from staves.
 */
export type Panel = { part?: string; min_width?: Length; max_width?: Length; max_count?: number; equal?: boolean; hearts?: Hearts; wish?: Wish; joint?: Length; flatten?: Length; end_to_end?: boolean; min_piece?: Length; ends_apart?: Length; end_joint?: Length; rings?: Rings; driest?: number; dampest?: number } & Record<string, unknown>;

/**
 * Size of the paper.
 */
export type Paper = "a4" | "a3" | "letter";

/**
 * A finished member of the piece.
 */
export type Part = { id?: string; name?: string; count?: number; species?: string[]; shape?: Shape; thickness?: Length; grain?: PartGrain; turns?: number[]; faces?: Faces; may_turn_over?: boolean; handed?: boolean; allowances?: Allowances; tenon?: Tenon; fixing_ok?: boolean; cut?: PartCut; priority?: number; value?: number; note?: string } & Record<string, unknown>;

/**
 * How a part is cut from its board.
 */
export type PartCut = "straight" | "sawn";

/**
 * Direction of the grain in a part.
 */
export type PartGrain = { axis?: GrainAxis; tolerance?: number } & Record<string, unknown>;

/**
 * How far a copy of a part is.
 */
export type PartState = "to_saw" | "waiting" | "in_hand";

/**
 * A photograph of one face of a board, straightened.
 */
export type Photo = { hash?: string; board?: string; face?: ZoneFace; pixel?: number; origin?: [number, number]; size?: [number, number]; original?: [number, number]; marks?: PhotoMark[]; put_by?: [number, number, number, number]; rendered?: RenderedWood } & Record<string, unknown>;

/**
 * How the marks of a photograph are laid.
 */
export type PhotoLaid = "corners" | "rectangle" | "rule" | "places";

/**
 * A point of a photograph whose place on the board is known.
 */
export type PhotoMark = { pixel?: [number, number]; at?: [number, number] } & Record<string, unknown>;

/**
 * What an area looks like.
 */
export type PhotoSeenKind = "knot" | "split" | "bark" | "sapwood";

/**
 * What a price buys.
 */
export type PricePer = "board" | "m3" | "m2" | "board_foot" | "m";

/**
 * Which board of which invented log a picture shows.
 */
export type RenderedWood = { log?: number; board?: number } & Record<string, unknown>;

/**
 * Which way the growth rings run, seen on an end.
 */
export type RingRun = "unknown" | "flat" | "rift" | "quarter" | "boxed_heart";

/**
 * How the growth rings lie in a board.
 */
export type Rings = "mixed" | "flat" | "quarter";

/**
 * The rules that every plan must obey, numbered as in the README.
 */
export type Rule = "inside" | "kerf" | "zones" | "fixings" | "grain" | "thickness" | "turned_over" | "matches" | "cuts" | "stock" | "dimensions" | "done";

/**
 * What is seen of sapwood on a face.
 */
export type SapwoodSeen = "any" | "both" | "none";

/**
 * How serious a finding is.
 */
export type Severity = "broken" | "caution" | "not_checked";

/**
 * A finished outline.
 */
export type Shape = { form: "rectangle"; length: Length; width: Length } | { form: "taper"; length: Length; start_width: Length; end_width: Length; both_sides?: boolean } | { form: "disc"; diameter: Length } | { form: "ellipse"; length: Length; width: Length } | { form: "arc_sided"; points: [Length, Length][]; swells?: Length[]; holes?: [Length, Length][][] } | { form: "polygon"; points: [Length, Length][]; holes?: [Length, Length][][] };

/**
 * A species of the maker's own.
 */
export type Species = { name?: string; density?: number; tangential?: number; radial?: number; price_m3?: number } & Record<string, unknown>;

/**
 * Where the figure of a face is.
 */
export type Spread = "any" | "middle" | "even";

/**
 * Which cuts a fixing stops.
 */
export type Stops = "all" | "rips" | "crosscuts";

/**
 * The kind of thing a place names.
 */
export type Subject = "job" | "board" | "part" | "workshop" | "dimension" | "relation" | "plan" | "cut" | "file";

/**
 * The state of a board's faces.
 */
export type Surface = "sawn" | "planed";

export type SyncInitInput = BufferSource | WebAssembly.Module;

/**
 * Extra length for tenons.
 */
export type Tenon = { start?: Length; end?: Length } & Record<string, unknown>;

/**
 * The kinds of thing that have a form, or can be added and removed.
 */
export type ThingKind = "job" | "workshop" | "allowances" | "board" | "station" | "corner" | "zone" | "part" | "tool" | "dimension" | "match" | "species";

/**
 * A tool that cuts.
 */
export type Tool = { name?: string; does?: CutKind[]; kerf?: Length; max_length?: Length; max_width?: Length; max_depth?: Length; min_piece?: Length; guide?: Guide; work_moves?: boolean; leaves_true_edge?: boolean; can_skim?: boolean; least_radius?: Length } & Record<string, unknown>;

/**
 * What is cut off raw ends and raw edges.
 */
export type Trim = { end?: Length; edge?: Length } & Record<string, unknown>;

/**
 * What a number without a unit means.
 */
export type Unit = "mm" | "in";

/**
 * How lengths are read and shown.
 */
export type Units = { length?: Unit; fraction?: number } & Record<string, unknown>;

/**
 * Why a part found no place.
 */
export type UnplacedReason = "no_room" | "species" | "thickness" | "length" | "width" | "grain" | "zones" | "tools" | "order" | "no_boards" | "part_not_sound" | "not_tried";

/**
 * Whether a board may be used.
 */
export type Use = "freely" | "if_needed" | "first" | "leave";

/**
 * What the checker says of the plan as a whole.
 */
export type VerdictKind = "checked" | "not_all_placed" | "wrong";

/**
 * Measured warp. A kind that is missing here was found to be nothing.
 */
export type Warp = { cup?: GapOver; bow?: GapOver; twist?: Twist } & Record<string, unknown>;

/**
 * How one board is cut.
 */
export type Way = "straight" | "sawn";

/**
 * How boards may be cut in this search.
 */
export type WayAsked = "as_job" | "straight" | "sawn";

/**
 * What counts in a face that is put together; nothing unless chosen.
 */
export type Wish = { answer?: Answer; spread?: Spread; sapwood?: SapwoodSeen } & Record<string, unknown>;

/**
 * The workshop.
 */
export type Workshop = { tools?: Tool[]; fallback_kerf?: FallbackKerf; trim?: Trim; min_offcut?: MinOffcut; max_lift_kg?: number } & Record<string, unknown>;

/**
 * A marked area on a board.
 */
export type Zone = { kind?: ZoneKind; shape?: ZoneShape; face?: ZoneFace; depth?: Length; sound?: boolean; margin?: Length; uncertain?: Length; clear_of?: ClearOf; stops?: Stops; material?: FixingMaterial; depth_from?: Length; depth_to?: Length; drawn_before_planing?: boolean; weight?: number; note?: string } & Record<string, unknown>;

/**
 * On which face a zone shows.
 */
export type ZoneFace = "through" | "up" | "down";

/**
 * Where the distance across is measured from.
 */
export type ZoneFrom = "right_edge" | "left_edge" | "chalk_line";

/**
 * What a zone marks.
 */
export type ZoneKind = "defect" | "sapwood" | "fixing" | "figure";

/**
 * Where a zone is.
 */
export type ZoneShape = { form: "spot"; oval?: boolean; along: Length; across: Length; from?: ZoneFrom; length: Length; width: Length } | { form: "span"; oval?: boolean; end?: BoardEnd; begins: Length; ends: Length; edge?: ZoneFrom; near: Length; far: Length } | { form: "strip"; side: Hand; width: Length } | { form: "polygon"; points: [Length, Length][] };
