// The shapes that server and page exchange, and nothing else: no logic. All bodies are JSON; a number that has no JSON
// (NaN) never stands in one.
//
//   GET    /api/study               StudyPayload; 422 FaultPayload where the folder has a fault
//   GET    /api/study/changes       events: `state` FolderState, first as it is, then after each change; `beat`
//   POST   /api/imports             ImportRequest -> 202 ImportStarted
//   GET    /api/imports/:id/events  events: `progress` ProgressEvent, then one of `done` ImportDone, `fault`
//                                   FaultPayload, `cancelled` {}
//   DELETE /api/imports/:id         202: it will say `cancelled`, or what it came to before
//
// Every refusal (401, 403, 404, 413, 415, 421, 422) is a FaultPayload.

import type { FaultData, StudyInput } from '@striderule/engine';

/** The study as the page computes with it. */
export interface StudyPayload {
  readonly input: StudyInput;
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

/** A recording and a recipe, both files of the study, and the id of the task to be made of them. */
export interface ImportRequest {
  readonly file: string;
  readonly recipe: string;
  readonly task: string;
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
