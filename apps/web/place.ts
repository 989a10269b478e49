import { type Gains, HAND_METHODS, type HandMethod, type JointName } from '@striderule/engine';
import { withinGainScales } from './design/gain-reach.ts';
import { readWalk, type WalkPlace, walkFields } from './walk/walk-place.ts';

export type JointChoice = JointName | 'all';
export const JOINT_CHOICES: readonly JointChoice[] = ['knee', 'ankle', 'hip', 'all'];

/** Stages that have a page, in the order of the data. */
export type PageName = 'demand' | 'drive' | 'control' | 'walk' | 'evidence';
export const PAGES: readonly PageName[] = ['demand', 'drive', 'control', 'walk', 'evidence'];

/** Where the reader is: kept in the address, so that a link leads to the same reading. */
export interface Place {
  readonly page: PageName;
  readonly task?: string;
  readonly joint: JointChoice;
  readonly percent: number;
  /** Tasks laid thin under the chosen one. */
  readonly laid: readonly string[];
  /** Requirement whose line is opened in the evidence. */
  readonly row?: string;
  /** Stiffness and damping asked of the joint, on Control. */
  readonly gains?: Gains;
  /** Phase by which the swing on Control is led. */
  readonly method: HandMethod;
  /** What is walked on Walk; left out: not looked at yet. */
  readonly walk?: WalkPlace;
}

const START: Place = { page: 'demand', joint: 'ankle', percent: 50, laid: [], method: 'latch' };

/**
 * Reads `page=drive&task=walk-fast&joint=knee&at=54.5&under=walk-slow,stair-up`, on Control `k=400&b=6&phase=plane` too, N·m/rad and
 * N·m·s/rad, on Walk `leg=tern-100&speed=1.1&stride=7`; what it does not name or understand is left as it is in `otherwise`.
 */
export function readPlace(text: string, otherwise: Place = START): Place {
  const fields = new URLSearchParams(text.replace(/^#/, ''));
  const page = PAGES.find((name) => name === fields.get('page'));
  const joint = JOINT_CHOICES.find((choice) => choice === fields.get('joint'));
  const percent = fields.get('at') === null ? Number.NaN : Number(fields.get('at'));
  const task = fields.get('task') ?? otherwise.task;
  const laid = fields.get('under');
  const row = fields.get('row');
  const linked = { stiffness: Number(fields.get('k')), damping: Number(fields.get('b')) };
  const same = joint === undefined || joint === otherwise.joint;
  const gains = withinGainScales(linked) ? linked : same ? otherwise.gains : undefined;
  const method = HAND_METHODS.find((name) => name === fields.get('phase'));
  const walk = readWalk(fields, otherwise.walk);
  return {
    page: page ?? otherwise.page,
    ...(task !== undefined && { task }),
    joint: joint ?? otherwise.joint,
    percent: percent >= 0 && percent <= 100 ? Math.round(2 * percent) / 2 : otherwise.percent,
    laid: laid === null ? otherwise.laid : laid.split(',').filter((id) => id !== ''),
    ...(row !== null && { row }),
    ...(gains !== undefined && { gains }),
    method: method ?? otherwise.method,
    ...(walk !== undefined && { walk }),
  };
}

export function placeText({ page, task, joint, percent, laid, row, gains, method, walk }: Place): string {
  const fields = new URLSearchParams();
  fields.set('page', page);
  if (task !== undefined) fields.set('task', task);
  fields.set('joint', joint);
  fields.set('at', String(percent));
  if (laid.length > 0) fields.set('under', laid.join(','));
  if (row !== undefined && page === 'evidence') fields.set('row', row);
  if (page === 'control') {
    if (gains !== undefined) {
      fields.set('k', String(gains.stiffness));
      fields.set('b', String(gains.damping));
    }
    fields.set('phase', method);
  }
  if (page === 'walk' && walk !== undefined)
    for (const [name, value] of walkFields(walk)) fields.set(name, value);
  return fields.toString();
}

const KEY = 'striderule.place';

/** The address first, else where this browser was last. */
export function placeAtStart(): Place {
  let kept = '';
  try {
    kept = localStorage.getItem(KEY) ?? '';
  } catch {
    // storage refused by the browser: start afresh
  }
  return readPlace(location.hash, readPlace(kept));
}

let timer: ReturnType<typeof setTimeout> | undefined;
/** The address as this page last read or wrote it. Another one is the reader's, and is not written over. */
let known: string | undefined;

function write(text: string, how: 'replaceState' | 'pushState'): void {
  history[how](null, '', `#${text}`);
  known = location.hash;
  try {
    localStorage.setItem(KEY, text);
  } catch {
    // storage refused: the address still holds it
  }
}

/** Keeps the place in the address and the browser, a moment after the last move. */
export function keepPlace(place: Place): void {
  known ??= location.hash;
  clearTimeout(timer);
  timer = setTimeout(() => {
    // changed by a link or by hand, and `hashchange` is not yet here: it will bring the new place
    if (location.hash !== known) return;
    write(placeText(place), 'replaceState');
  }, 150);
}

/** Goes to another page as a link does: the browser's way back leads back. */
export function openPlace(place: Place): void {
  clearTimeout(timer);
  write(placeText(place), 'pushState');
}

/** Calls back when a link, the way back or the reader changes the address to another place. Returns how to stop. */
export function followAddress(goTo: (hash: string) => void): () => void {
  const onHash = () => {
    clearTimeout(timer);
    known = location.hash;
    if (location.hash.includes('=')) goTo(location.hash);
  };
  addEventListener('hashchange', onHash);
  return () => removeEventListener('hashchange', onHash);
}
