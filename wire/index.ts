// The shapes that server and page exchange, and nothing else: no logic. All bodies are JSON; a number that has no JSON
// (NaN) never stands in one.
//
//   GET    /api/study               StudyPayload; 422 FaultPayload where the folder has a fault
//   GET    /api/study/legs          LegsPayload: every leg file of the study, as the study would be with it
//   GET    /api/study/hazards       HazardsPayload: what hazards.yaml lists; 422 FaultPayload where the folder has a fault
//   GET    /api/study/changes       events: `state` FolderState, first as it is, then after each change; `beat`
//   POST   /api/imports             ImportRequest -> 202 ImportStarted
//   GET    /api/imports/:id/events  events: `progress` ProgressEvent, then one of `done` ImportDone, `fault`
//                                   FaultPayload, `cancelled` {}
//   POST   /api/imports/files?name=    the bytes of a CSV -> 201 UploadDone: kept outside the study until it is imported
//   POST   /api/imports/preview     CsvPreviewRequest -> CsvPreview: its first names and rows
//   POST   /api/imports/checks      CheckRequest -> 202 ImportStarted; its events end with `done` RecordingChecked
//   POST   /api/imports             UploadImportRequest -> 202 ImportStarted, as for a file of the study
//   DELETE /api/imports/:id         202: it will say `cancelled`, or what it came to before
//   POST   /api/work                WorkRequest -> 202 WorkStarted: long work, begun, or joined where the same goes on or is kept;
//                                   409 FaultPayload where the study on disk is no longer the one that was read
//   POST   /api/work/find           WorkRequest -> WorkFound: the same where it goes on or is kept; begins nothing
//   GET    /api/work/:id?from=      WorkNews: every part after the first `from`, and how far it is
//   DELETE /api/work/:id            202: it will say `cancelled`, or what it came to before
//   POST   /api/ratios/preview      RatioRequest -> FilePreview: what saving would change; writes nothing
//   POST   /api/ratios              RatioRequest and `sha256` -> SaveDone; 409 FaultPayload where the file is no longer
//                                   what was shown
//   POST   /api/requirements[/preview]  the same with RequirementsRequest
//
// Every refusal (401, 403, 404, 409, 413, 415, 421, 422) is a FaultPayload.

import type {
  CutPiece,
  DrivenJoint,
  FaultData,
  FaultPiece,
  Leg,
  Metric,
  PricePiece,
  Spread,
  StudyChange,
  StudyInput,
  Tolerance,
  WalkChoice,
} from '@striderule/engine';

/** A leg as it travels: what its file does not say, NaN in the engine, is left out. */
export type SentLeg = Omit<Leg, 'busVoltage' | 'ambientTemperature'> &
  Partial<Pick<Leg, 'busVoltage' | 'ambientTemperature'>>;

/** A metric without how it is worked out; one that walks judge reads the whole leg, and names no inputs. */
export type MetricWords = Omit<Metric, 'value' | 'reads'> & Partial<Pick<Metric, 'reads'>>;

/** The study as the page computes with it. */
export interface StudyPayload {
  readonly input: Omit<StudyInput, 'leg'> & { readonly leg: SentLeg };
  /** What the catalogue says of each metric that a requirement of the study names: the page need not know the whole. */
  readonly metrics: Readonly<Record<string, MetricWords>>;
  /** Name of the study's folder, without the way to it. */
  readonly folderName: string;
  readonly engineVersion: string;
  /** SHA-256 of `input`. */
  readonly fingerprint: string;
  /** State of the folder it was read from: another one in a `state` event means that this is stale. */
  readonly state: string;
  /** When it was read, ISO 8601, UTC. */
  readonly readAt: string;
}

/** The legs of a study, to be set side by side. */
export interface LegsPayload {
  readonly legs: readonly {
    /** Name of its file, without folder and ending. */
    readonly name: string;
    readonly leg: SentLeg;
    readonly spreads: readonly Spread[];
    /** SHA-256 of both. */
    readonly fingerprint: string;
  }[];
  /** Files that cannot be read as they are; `study check` says why. */
  readonly faulty: readonly string[];
}

/** The hazards of a study, and what is named to show that their measures work. */
export interface HazardsPayload {
  readonly hazards: readonly {
    readonly id: string;
    readonly hazard: string;
    readonly measure: string;
    readonly evidence: readonly {
      readonly kind: 'requirement' | 'fault' | 'scenario';
      readonly name: string;
    }[];
  }[];
}

export interface FaultPayload {
  readonly faults: readonly FaultData[];
}

/** What the folder is like on disk. */
export interface FolderState {
  /** Changes whenever a file of the study does. */
  readonly state: string;
  /** Names of the files that changed, came or went since the last such event; empty in the first. */
  readonly files: readonly string[];
}

/** How far long work is: `done` of `total`, in the unit that `label` says. */
export interface ProgressEvent {
  readonly done: number;
  readonly total: number;
  readonly label: string;
}

/** Which design long work is about: a study as it was read, in what the page differs from it, and another of its legs, where one is meant. */
export interface WorkDesign {
  readonly fingerprint: string;
  readonly change: StudyChange;
  readonly leg?: { readonly name: string; readonly fingerprint: string };
}

/** What is worked out. SI; places are shares of the stride. */
export type WorkAsk =
  /** Every fault at every one of `places`, speed by speed. */
  | {
      readonly kind: 'faults';
      readonly thigh: 'prescribed' | 'led';
      readonly step: number;
      readonly speeds: readonly number[];
      readonly places: readonly number[];
    }
  /** All power lost at every one of `places`. */
  | {
      readonly kind: 'cuts';
      readonly choice: Pick<WalkChoice, 'speed' | 'ground' | 'thigh' | 'control'>;
      readonly step: number;
      readonly places: readonly number[];
    }
  /** What everything costs the hip. */
  | {
      readonly kind: 'price';
      readonly choice: Pick<WalkChoice, 'speed' | 'ground'>;
      readonly step: number;
      readonly strides: number;
    }
  /** Legs and people drawn, and how many meet the requirements that are `asked`, by id. */
  | {
      readonly kind: 'tolerance';
      readonly asked: readonly string[];
      readonly draws: number;
      readonly seed: number;
    };

export interface WorkRequest {
  readonly design: WorkDesign;
  readonly ask: WorkAsk;
  /** Even where the same is kept. */
  readonly anew?: boolean;
}

/** What is found, part by part, in the order of what was asked. */
export interface WorkParts {
  readonly faults: FaultPiece;
  readonly cuts: Exclude<CutPiece, { readonly openBecause: string }>;
  readonly price: Exclude<PricePiece, { readonly openBecause: string }>;
  readonly tolerance: Tolerance;
}

export interface WorkStarted {
  readonly id: string;
}

export type WorkFound = Partial<WorkStarted>;

/** A number that has no JSON, wherever it stands in a part. */
export interface SentNumber {
  readonly number: 'NaN' | 'Infinity' | '-Infinity' | '-0';
}

/** What came of long work. */
export type WorkEnd =
  /** s. */
  | { readonly kind: 'done'; readonly took: number }
  | { readonly kind: 'open'; readonly because: string }
  | { readonly kind: 'faults'; readonly faults: readonly FaultData[] }
  | { readonly kind: 'cancelled' };

export interface WorkNews {
  /** Those after the first `from`; numbers without JSON stand as SentNumber. */
  readonly parts: readonly WorkParts[WorkAsk['kind']][];
  readonly progress?: ProgressEvent;
  readonly end?: WorkEnd;
}

/** A recording and a recipe, both files of the study, and the id of the task to be made of them. */
export interface ImportRequest {
  readonly file: string;
  readonly recipe: string;
  readonly task: string;
}

/** A file that was dropped onto the page. */
export interface UploadDone {
  readonly upload: string;
  readonly name: string;
  /** Bytes. */
  readonly size: number;
}

/** How a CSV is written: what is said of it, or what it seems to be. */
export interface SeemingLayout {
  readonly delimiter: ',' | ';' | 'tab';
  readonly decimal: '.' | ',';
  /** Lines of the names and of the first row of data, from 1. */
  readonly namesLine: number;
  readonly dataLine: number;
}

export interface CsvPreviewRequest {
  readonly upload: string;
  /** What is left out is proposed. */
  readonly layout?: Partial<SeemingLayout>;
}

export interface CsvPreview {
  readonly layout: SeemingLayout;
  readonly names: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export interface CheckRequest {
  readonly upload: string;
  /** Its text. */
  readonly recipe: string;
}

/** What a recording was found to be with a recipe. */
export interface RecordingChecked {
  /** Why it cannot be imported so; empty: it can. */
  readonly faults: readonly FaultData[];
  /** Mean curves, engine signs, SI per body mass, at every half per cent; none where rows are at fault. */
  readonly curves: readonly { readonly channel: string; readonly values: readonly number[] }[];
  readonly checks: ImportDone['checks'];
  /** Without a fault: how many strides were averaged, s, and the share in stance. */
  readonly strides?: number;
  readonly strideTime?: number;
  readonly stance?: number;
  /** Slope of the ground, rad, up ahead positive, where the recipe says it. */
  readonly incline?: number;
}

/** A dropped file, the text of a recipe, and what the task made of them is to be called. */
export interface UploadImportRequest {
  readonly upload: string;
  readonly recipe: string;
  readonly task: string;
  readonly title: string;
}

export interface ImportStarted {
  readonly id: string;
}

/** The task that was made of the recording. */
export interface ImportDone {
  /** Names in the study of the task and of the recording it was made of. */
  readonly task: string;
  readonly file: string;
  /** SHA-256 of the recording. */
  readonly sha256: string;
  /** How many strides were averaged. */
  readonly strides: number;
  /** What the checks of the recording found, in sentences. */
  readonly checks: readonly { readonly verdict: 'holds' | 'warns' | 'accepted'; readonly text: string }[];
}

/** New ratios of the study's leg, by joint: motor speed ÷ joint speed. At least one. */
export interface RatioRequest {
  readonly ratios: { readonly [joint in DrivenJoint]?: number };
}

/** What is to be asked anew of one requirement; what is left out stays. At least one. */
export interface RequirementEdit {
  /** With its unit, as the file says it. */
  readonly bound?: string;
  readonly joint?: DrivenJoint;
  /** null: every task. */
  readonly task?: string | null;
  readonly because?: string;
}

/** Changes of the study's requirements, by id. At least one. */
export interface RequirementsRequest {
  readonly requirements: { readonly [id: string]: RequirementEdit };
}

/** A line that differs: what stood there, or nothing where it is new; what will, or nothing where it goes. */
export interface LineChange {
  /** Counted in the file as it was; a new line has the number of the one it comes before. */
  readonly line: number;
  readonly before?: string;
  readonly after?: string;
}

/** Lines of one file that saving would change. */
export interface FilePreview {
  readonly file: string;
  /** SHA-256 of the file as it is on disk: to be sent back on saving. */
  readonly sha256: string;
  readonly changes: readonly LineChange[];
}

export interface SaveDone {
  readonly file: string;
  readonly sha256: string;
}
