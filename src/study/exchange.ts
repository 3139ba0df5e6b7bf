/** What the window and the host send each other, the same through every door. */
import type { JournalStep } from "./journal.ts";
import type { Place } from "./places.ts";
import type { ClipMotion, KeptSound, WholeStudy } from "./types.ts";

export interface OpenedStudy extends WholeStudy {
  /** Folder as shown to the person. */
  readonly folder: string;
  readonly readOnly: boolean;
  /** Things the person should know about how it opened (a damaged file set aside, a newer version). */
  readonly notices: readonly string[];
  readonly position: Position | null;
  /** Who else has it open for writing, "Kim on rink-laptop"; they can be asked to let it go. */
  readonly owner: string | null;
  /** The last steps that led here, for undoing them. */
  readonly steps: readonly JournalStep[];
  /** Number of the last step in the journal: the window's next one is one more. */
  readonly stepsMade: number;
  /** Another one each time the program starts: a window of an earlier run must open the study anew. */
  readonly run: string;
}

/** What the host tells a window that is open. */
export type WindowNews =
  /** The first thing a window hears; one that looks on hears `writing` later, when the one that wrote has gone. */
  | { readonly kind: "writing" | "looking-on" }
  /** Save what is not saved yet and let go: another window or program takes over. */
  | { readonly kind: "hand-over" }
  | { readonly kind: "reading-only"; readonly text: string };

/** What the host tells while it writes a clip of trials. */
export type FilmNews =
  | {
      readonly kind: "progress";
      readonly doing: "preparing" | "writing";
      readonly done: number;
      readonly of: number;
      readonly secondsLeft: number | null;
    }
  | { readonly kind: "written"; readonly id: string; readonly name: string }
  | { readonly kind: "failed"; readonly text: string };

/** What the host tells while it looks for what it can suggest. */
export type SuggestNews =
  | {
      readonly kind: "progress";
      readonly doing: "preparing" | "looking";
      readonly done: number;
      readonly of: number;
    }
  /** `text`: what `suggest --json` prints for the same study and clip. */
  | { readonly kind: "suggested"; readonly text: string }
  | { readonly kind: "failed"; readonly text: string };

/** A number with its standard uncertainty. */
interface Found {
  readonly value: number;
  readonly u: number;
}

/** What the backgrounds of two clips say: where the one's is seen in the other's picture, at its centre; or why they do not tell. */
export type Backgrounds =
  | {
      readonly alike: true;
      readonly dxPx: Found;
      readonly dyPx: Found;
      readonly turnDeg: Found;
      readonly share: number;
    }
  | { readonly alike: false; readonly why: string; readonly text: string };

/** What the host tells while it compares the backgrounds of two clips. */
export type BackgroundNews =
  | { readonly kind: "preparing"; readonly done: number; readonly of: number }
  | { readonly kind: "comparing" }
  | { readonly kind: "compared"; readonly found: Backgrounds }
  | { readonly kind: "failed"; readonly text: string };

/** What the host tells while it follows the background of one clip from frame to frame. */
export type MotionNews =
  | { readonly kind: "preparing" | "following"; readonly done: number; readonly of: number }
  | { readonly kind: "followed"; readonly found: ClipMotion }
  | { readonly kind: "failed"; readonly text: string };

/** What the host tells while it listens to the clips of two views. */
export type SoundNews =
  | { readonly kind: "listening"; readonly view: number }
  | { readonly kind: "comparing" }
  | { readonly kind: "heard"; readonly found: KeptSound }
  | { readonly kind: "failed"; readonly text: string };

/** Which clip of trials the window asks for. */
export interface FilmOrder {
  readonly trials: readonly string[];
  /** As `writeMoment` writes it; null = a usual one. */
  readonly moment: string | null;
  readonly slow: number;
  readonly names: "names" | "codes";
}

export interface Position {
  readonly place: Place;
  readonly trial: string | null;
  readonly frame: number;
}

export interface Saved {
  /** ISO 8601, the host's clock. */
  readonly savedAt: string;
}

/** A part of a clip by frame numbers of the whole clip, both included. */
export interface ClipPart {
  readonly first: number;
  readonly last: number;
}

/** The frames of a clip from one moment to another, both included. `exact`: by the frames' own times. */
export interface FramesAt extends ClipPart {
  readonly exact: boolean;
}

/** How the file of a clip stands to the one the study was made with. */
export interface ClipLinkState {
  /** `on-share`: on another computer, and not touched until a person agrees. */
  readonly state: "as-it-was" | "moved" | "missing" | "changed" | "on-share";
  /** What a person should know or decide; null when there is nothing. */
  readonly text: string | null;
  /** The file in use or offered, as the study would write it; what a confirmation names. */
  readonly path: string | null;
  /** SHA-256 of that file, hex, as soon as it has been read. */
  readonly sha256: string | null;
  readonly bytes: number | null;
}

/** Whether a frame that is wanted can be shown: now, after a jump of the preparation, in its turn, or never. */
export type Reach = "now" | "jump" | "going-on" | "never";

/** Frame index of a clip as far as it is known. Frame n is the n-th picture of a plain decode. */
export interface ClipIndex {
  readonly clip: string;
  readonly state: "waiting" | "preparing" | "ready" | "stopped" | "failed";
  /** Frames that can be shown now: 0 (or the part's first) … ready-1. */
  readonly ready: number;
  /** Frames ready beyond `ready`, in order: `times[i]` is the time of frame `from + i`. Their numbers are final. */
  readonly ahead: readonly { readonly from: number; readonly times: readonly number[] }[];
  /** [from, to): the decoder may have put these pictures together from others; nothing may be marked on them. */
  readonly doubtful: readonly (readonly [from: number, to: number])[];
  /** The part the study asks for; null = the whole clip. Frames outside are not prepared. */
  readonly part: ClipPart | null;
  /** Frames of what is asked for (`of`: 0 while nothing tells how many); the rest is known while the clip is being prepared. */
  readonly progress: {
    readonly done: number;
    readonly of: number;
    readonly framesPerSecond: number | null;
    readonly secondsLeft: number | null;
  };
  /** How many clips are prepared before this one; 0 = it is being prepared; null = it does not wait. */
  readonly queue: number | null;
  /** Why preparation stopped though nobody stopped it. */
  readonly note: string | null;
  /** It is long, and nothing of it is prepared until somebody says which part matters (or all of it). */
  readonly asksPart: boolean;
  /** What its file says it lasts, seconds of clip time; null = it does not say. */
  readonly lasts: number | null;
  readonly link: ClipLinkState;
  /** Frames in all; an estimate (`countIsExact` false) until the whole clip has been decoded. */
  readonly count: number;
  readonly countIsExact: boolean;
  /** Presentation times of frames 0 … ready-1, seconds; the clip's first frame = 0. */
  readonly times: readonly number[];
  /** As displayed: rotation applied, square pixels. */
  readonly width: number;
  readonly height: number;
  readonly rotation: 0 | 90 | 180 | 270;
  /** Of which by hand; what the study asked for when these frames were made. */
  readonly turn: 0 | 90 | 180 | 270;
  readonly codec: string;
  readonly rateMedianHz: number | null;
  readonly variableRate: boolean;
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
  /** state "failed": what is wrong and what to do. */
  readonly failure: string | null;
  readonly failureCode: string | null;
}

/** A study on the start page. */
export interface KnownStudy {
  readonly folder: string;
  readonly question: string;
  readonly date: string | null;
  readonly skaters: number;
  readonly trials: number;
  /** Trials with a time. */
  readonly timed: number;
  /** Names of its techniques. */
  readonly techniques: readonly string[];
  /** Timed distance, m. */
  readonly distance: number;
  /** Its skaters by code; the name of who has none. */
  readonly people: readonly { readonly code: string; readonly name: string }[];
}

/** What is asked of several evenings: two techniques (all names that mean each) with the season's looks, or one skater. */
export type SeasonWish = { readonly folders: readonly string[] } & (
  | {
      readonly do: "pool";
      readonly a: readonly string[];
      readonly b: readonly string[];
      readonly quantity: string;
      readonly codes: boolean;
      readonly looks: number;
    }
  | { readonly do: "skater"; readonly code: string }
  /** `really` false: only says what it would touch. */
  | { readonly do: "forget"; readonly code: string; readonly really: boolean }
);

/** What the host tells while it reads and measures the evenings of a season. */
export type SeasonNews =
  | { readonly kind: "progress"; readonly done: number; readonly of: number }
  /** `text`: what `pool --json` prints; `notices`: what was odd about a folder. */
  | { readonly kind: "pooled"; readonly text: string; readonly notices: readonly string[] }
  /** `text`: what `skater --json` prints. */
  | { readonly kind: "skater"; readonly text: string; readonly notices: readonly string[] }
  /** What was forgotten, or would be, a line each. */
  | { readonly kind: "forgotten"; readonly lines: readonly string[]; readonly notices: readonly string[] }
  | { readonly kind: "failed"; readonly text: string };

/** What the start page shows: the study that is open, and those that were, newest first. */
export interface StudyList {
  readonly here: string;
  readonly recent: readonly KnownStudy[];
}

/** Which study to go to: one that is there, a new one, the next evening of the one that is open, or the demo. */
export type StudyWish =
  | { readonly do: "open" | "new" | "next"; readonly folder: string }
  | { readonly do: "demo" };
