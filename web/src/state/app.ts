// The parts that main.ts joins, as seen by actions and views.

import type { ReadonlySignal, Signal } from "@preact/signals";

import type { CopyOf, MarkKind } from "../protocol/generated";
import type { AskedSize } from "./asked-size";
import type { AtBench } from "./at-bench";
import type { Desk } from "./desk";
import type { Drafts } from "./drafts";
import type { DrawingOut } from "./drawing";
import type { Faces } from "./faces";
import type { FigureShown } from "./figure-shown";
import type { FilesOutDesk } from "./files-out";
import type { Keeper } from "./keeping";
import type { Photographing } from "./photographing";
import type { Photos } from "./photos";
import type { SettingOut } from "./setting-out";
import type { Shelf } from "./shelf";
import type { TruePhoto } from "../protocol/messages";

export type DialogName =
  | "menu"
  | "keys"
  | "about"
  | "keeping"
  | "paste"
  | "face"
  | "photograph"
  | "board-files"
  | "print"
  | "files-out"
  | "keep"
  | "compare"
  | "shelf"
  | "workshop"
  | "clash"
  | "leaving"
  | "fault";

export interface FloorControls {
  fit(): void;
  zoom(factor: number): void;
  /** Moves a placed part by millimetres; held keys are one step to undo. */
  nudge(part: CopyOf, dx: number, dy: number): void;
  /** Moves the picture so that this fragment can be seen. */
  reveal(fragment: string): void;
  /** Moves the picture so that what the last change changed can be seen. */
  revealChanged(): void;
  /** Puts the keyboard's focus on a part or board. */
  focus(fragment: string): void;
}

export interface FileDesk {
  /** Takes the last step back; where it brought another job to the floor, the job before is kept on under its own name. */
  undo(): void;
  redo(): void;
  save(): void;
  /** Saves the job and its photographs as one ZIP file. */
  saveWithPhotos(): Promise<void>;
  choose(): Promise<void>;
  /** Lets the person choose files of boards and shows them as they are understood. */
  chooseBoards(): Promise<void>;
  /** Takes what was dropped: boards to be looked at, or a job to be opened. */
  take(files: readonly File[]): Promise<void>;
  /** Says that files given with others were left alone. */
  passOver(files: readonly File[]): void;
  openFile(file: File): Promise<void>;
  openText(text: string, name: string): Promise<boolean>;
  newJob(): Promise<void>;
  /** Begins a new job with the offcuts of this one as its boards. */
  offcutsHome(): Promise<void>;
  demo(name: string): Promise<void>;
  demos(): readonly { readonly name: string; readonly title: string }[];
  /** Puts a kept job on the floor; `again` where it is the same one, written by another tab. */
  fromShelf(id: string, again?: boolean): Promise<void>;
  /** Goes on with this job under a name of its own. */
  keepCopy(): Promise<void>;
  svgOf(board: CopyOf): void;
  /** One side of a panel or of parts seen together. */
  svgOfFace(of: string, back: boolean, stands: boolean, title: string): void;
  svgOfAll(): void;
  print(paper: "a4" | "letter"): void;
}

export interface Theme {
  readonly dark: ReadonlySignal<boolean>;
  toggle(): void;
}

export interface FaultShown {
  readonly message: string;
  readonly details: string;
  readonly mended: boolean;
}

export interface App {
  readonly desk: Desk;
  readonly settingOut: SettingOut;
  readonly askedSize: AskedSize;
  readonly faces: Faces;
  readonly keeper: Keeper;
  readonly drafts: Drafts;
  readonly shelf: Shelf;
  readonly photos: Photos;
  readonly photographing: Photographing;
  readonly floor: FloorControls;
  readonly files: FileDesk;
  readonly filesOut: FilesOutDesk;
  readonly theme: Theme;
  readonly dialog: Signal<DialogName | null>;
  readonly fault: Signal<FaultShown | null>;
  /** Answers whether to go on although the job on the floor is kept nowhere. */
  readonly leaving: Signal<((goOn: boolean) => void) | null>;
  /** Whether single letters, digits and signs are orders. */
  readonly letterKeys: Signal<boolean>;
  readonly firstSteps: Signal<boolean>;
  readonly bench: AtBench;
  /** Boards that are being typed as lines. */
  readonly typedBoards: Signal<string>;
  /** What is known of the figure, over the wood. */
  readonly figure: FigureShown;
  /** What a tap on a board marks; nothing while none is chosen. */
  readonly marking: Signal<MarkKind | null>;
  readonly drawing: DrawingOut;
  /** Whether the screen is to stay on at the bench. */
  readonly awake: Signal<boolean>;
  /** Parts or boards are in the hand just now. */
  handBusy(): boolean;
  letGo(): void;
  /** Takes what was traced over a photo into the job, in one step; what kept it from being done, in words. `sure`: as it is,
   * though something was said against it. */
  takePhoto(photo: TruePhoto, withPhoto: boolean, sure: boolean): Promise<string | null>;
  /** A change to the theme, first steps or notices that no storage may spoil. */
  remember(name: string, value: string): void;
}
