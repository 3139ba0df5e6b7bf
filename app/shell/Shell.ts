import type {
  BackgroundNews,
  Backgrounds,
  ClipIndex,
  ClipLinkState,
  FilmNews,
  FilmOrder,
  FramesAt,
  KnownStudy,
  MotionNews,
  OpenedStudy,
  Position,
  Reach,
  Saved,
  SeasonNews,
  SeasonWish,
  SoundNews,
  StudyList,
  StudyWish,
  SuggestNews,
  WindowNews,
} from "../../src/study/exchange.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import type { Kept, KeptEdit, Library } from "../../src/study/library.ts";
import type { ClipLink, ClipMotion, KeptSound, Study, TrialMarks } from "../../src/study/types.ts";

/**
 * The window's one way out: the same for the browser's door, the desktop's door and the fake in tests.
 * Each call is one request to the host (`electron/host`). Failures throw ShellError, with words for the coach.
 */
export interface Shell {
  /** This window's own name, another one each time it is loaded. */
  readonly window: string;
  openStudy(): Promise<OpenedStudy>;
  /** `after`: how many steps of the journal the document holds; null = it does not come of them. */
  saveStudy(study: Study, after: number | null): Promise<Saved>;
  saveMarks(marks: TrialMarks, after: number | null): Promise<Saved>;
  /** Steps that follow step number `from`; on the disk when this resolves. */
  addSteps(from: number, steps: readonly JournalStep[]): Promise<Saved>;
  /** Says that this window is open, and hears what the host has to tell it until it is stopped. */
  watch(hear: (news: WindowNews) => void): Promise<() => void>;
  /** This window writes from now on; who wrote so far saves the rest first. Open the study anew then. */
  takeOver(): Promise<void>;
  /** All is saved; another window may write. */
  letGo(): Promise<void>;
  /** The window goes; nothing that was done at its address is left unsaved. */
  leftNothing(): Promise<void>;
  /** A file was changed by another program: keep what this window holds of it, or (null) take what is there. */
  choose(document: string | null): Promise<void>;
  /** The studies a person can go to from here. */
  studies(): Promise<StudyList>;
  /** What stands in one folder, without opening it; `folder` of the answer is the whole path. */
  lookAtStudy(folder: string): Promise<KnownStudy>;
  /** Opens or makes another study; resolves to the address of its window. */
  goToStudy(wish: StudyWish): Promise<string>;
  /** Asks several evenings; hears how far they are read. `signal` stops it. Resolves to the answer. */
  season(
    wish: SeasonWish,
    hear: (news: SeasonNews & { readonly kind: "progress" }) => void,
    signal: AbortSignal,
  ): Promise<SeasonNews & { readonly kind: "pooled" | "skater" | "forgotten" }>;
  /** What the person keeps beside all studies. */
  library(): Promise<Library>;
  /** Keeps more; what has the same name is as it is here from now on. */
  keep(more: Kept): Promise<Library>;
  /** Renames or removes one thing that is kept. */
  editKept(edit: KeptEdit): Promise<Library>;
  /** Where the person was, so that a reopened study starts there. */
  savePosition(position: Position): Promise<void>;
  /** Copies the file into the study's `clips/`; resolves when it is stored, then preparation starts by itself. */
  addClip(file: File, onProgress: (share: number) => void, signal: AbortSignal): Promise<ClipLink>;
  /** `until`: the answer waits a moment for that frame (`any` = for the first that can be shown). */
  clipIndex(clip: string, until?: number | "any"): Promise<ClipIndex>;
  /** Starts (or restarts) preparing a clip and puts it first. */
  prepareClip(clip: string): Promise<void>;
  cancelClip(clip: string): Promise<void>;
  /** The frame the window shows now: its clip comes first, and preparation moves there where that is exact. */
  wantFrame(clip: string, frame: number): Promise<Reach>;
  /** Searches for a moved clip once more. */
  lookForClip(clip: string): Promise<ClipLinkState>;
  /** The clip may be opened from the other computer it lies on, and all clips that lie there. */
  agreeToShare(clip: string): Promise<ClipLinkState>;
  /** A person confirmed the file that the index's `link` names; the answer belongs into the study. */
  confirmLink(clip: string, sha256: string): Promise<ClipLink>;
  /** A person chose the clip's file again. `same`: it is the one; else it waits to be confirmed. */
  giveFile(
    clip: string,
    file: File,
    onProgress: (share: number) => void,
    signal: AbortSignal,
  ): Promise<{ readonly link: ClipLink; readonly same: boolean }>;
  /** Writes a clip of trials; hears how far it has come. `signal` cancels it. Resolves to where it can be fetched from. */
  makeFilm(
    order: FilmOrder,
    hear: (news: FilmNews & { readonly kind: "progress" }) => void,
    signal: AbortSignal,
  ): Promise<{ readonly url: string; readonly name: string }>;
  /**
   * What could be suggested from these marks, as `suggest --json` prints it; hears how far looking has come. `signal` stops it.
   */
  suggest(
    marks: TrialMarks,
    hear: (news: SuggestNews & { readonly kind: "progress" }) => void,
    signal: AbortSignal,
  ): Promise<string>;
  /** Whether two trials' clips were filmed from one place; hears how far it has come. `signal` stops it. */
  compareBackgrounds(
    trial: string,
    other: string,
    hear: (news: BackgroundNews) => void,
    signal: AbortSignal,
  ): Promise<Backgrounds>;
  /** What a further view's clip and the first one's let hear of their clocks; hears how far it has come. `signal` stops it. */
  listen(view: string, hear: (news: SoundNews) => void, signal: AbortSignal): Promise<KeptSound>;
  /** How a trial's clip moves by its background, frame by frame; hears how far it has come. `signal` stops it. */
  followBackground(trial: string, hear: (news: MotionNews) => void, signal: AbortSignal): Promise<ClipMotion>;
  /**
   * A small picture of the clip near a moment (seconds from its first frame on), without preparing anything; null when there is
   * none. `time`: the picture's own, null when the file gives none.
   */
  glimpse(
    clip: string,
    seconds: number,
    signal: AbortSignal,
  ): Promise<{ readonly picture: Blob; readonly time: number | null } | null>;
  /** The numbers of the frames from one moment to another. */
  framesAt(clip: string, from: number, to: number): Promise<FramesAt>;
  /** Address of exactly that frame as JPEG, for fetch or <img>; fails until it is ready. */
  frameUrl(clip: string, frame: number): string;
}

export class ShellError extends Error {
  /** 0: no answer at all. */
  readonly status: number;
  /** What went wrong, for programs; empty when the host did not say. */
  readonly code: string;
  readonly data: Readonly<Record<string, unknown>>;
  constructor(message: string, status: number, code = "", data: Readonly<Record<string, unknown>> = {}) {
    super(message);
    this.name = "ShellError";
    this.status = status;
    this.code = code;
    this.data = data;
  }
}
