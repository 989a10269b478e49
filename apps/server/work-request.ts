import { Fault, type FaultData, type Requirement, type StudyChange } from '@striderule/engine';
import type { WorkRequest } from '@striderule/wire';

type Check = (x: unknown) => boolean;

const oneOf =
  (...words: readonly unknown[]): Check =>
  (x) =>
    words.includes(x);
const number =
  (least: number, most: number): Check =>
  (x) =>
    typeof x === 'number' && x >= least && x <= most;
const whole =
  (least: number, most: number): Check =>
  (x) =>
    Number.isInteger(x) && number(least, most)(x);
const list =
  (each: Check, most: number): Check =>
  (x) =>
    Array.isArray(x) && x.length > 0 && x.length <= most && x.every(each);
const optional =
  (check: Check): Check =>
  (x) =>
    x === undefined || check(x);
const text: Check = (x) => typeof x === 'string' && x !== '';
const sha256: Check = (x) => typeof x === 'string' && /^[0-9a-f]{64}$/.test(x);
const fileName: Check = (x) => typeof x === 'string' && /^[^./\\][^/\\]*$/.test(x);

/** A field by its way through the request, what it may hold, and that in words. */
type Rule = readonly [field: string, check: Check, words: string];

const speed = number(0.05, 10);
const SPEED = 'a speed from 0.05 to 10 m/s';
const place: Check = (x) => number(0, 1)(x) && x !== 1;
// a step of a walk is a fraction of the period of its controller; finer than 10 µs nobody waits for it
const step: Rule = ['ask.step', number(1e-5, 1e-2), 'a step from 1e-5 to 1e-2 s'];
const ground: Rule = [
  'ask.choice.ground',
  optional(oneOf('treadmill', 'overground')),
  '"treadmill" or "overground"',
];
const thigh = oneOf('prescribed', 'led');
const THIGH = '"prescribed" or "led"';
const places: Rule = ['ask.places', list(place, 100), 'up to 100 shares of the stride, from 0 to below 1'];

const BY_KIND = {
  faults: [
    ['ask.thigh', thigh, THIGH],
    step,
    ['ask.speeds', list(speed, 10), `up to ten, each ${SPEED}`],
    places,
  ],
  cuts: [
    ['ask.choice.speed', speed, SPEED],
    ground,
    ['ask.choice.thigh', optional(thigh), THIGH],
    ['ask.choice.control', optional(oneOf('clock', 'study')), '"clock" or "study"'],
    step,
    places,
  ],
  price: [
    ['ask.choice.speed', speed, SPEED],
    ground,
    step,
    ['ask.strides', whole(6, 200), 'a whole number from 6 to 200'],
  ],
  tolerance: [
    ['ask.asked', list(text, 1000), 'ids of requirements'],
    ['ask.draws', whole(1, 100_000), 'a whole number from 1 to 100000'],
    ['ask.seed', whole(0, 2 ** 31 - 1), 'a whole number from 0 to 2147483647'],
  ],
} as const satisfies Record<WorkRequest['ask']['kind'], readonly Rule[]>;

const ratio = optional((x) => Number.isFinite(x) && (x as number) > 0);

const COMMON: readonly Rule[] = [
  ['design.fingerprint', sha256, 'the fingerprint that came with the study'],
  ['design.change.ratios.knee', ratio, 'a number above zero'],
  ['design.change.ratios.ankle', ratio, 'a number above zero'],
  [
    'design.change.requirements',
    optional(list(isRequirement, 1000)),
    'requirements that ask something else than the study',
  ],
  ['design.leg.name', optional(fileName), 'the name of a file in `legs`, without its ending'],
  ['design.leg.fingerprint', optional(sha256), 'the fingerprint that came with that leg'],
  ['ask.kind', oneOf(...Object.keys(BY_KIND)), 'one of "faults", "cuts", "price", "tolerance"'],
  ['anew', optional(oneOf(true, false)), 'true or false'],
];

/** What the page asks, or what is wrong with it, field by field. */
export function workRequest(body: unknown): WorkRequest | readonly FaultData[] {
  const kind = at(body, 'ask.kind');
  const own =
    typeof kind === 'string' && Object.hasOwn(BY_KIND, kind) ? BY_KIND[kind as keyof typeof BY_KIND] : [];
  const rules: readonly Rule[] = [...COMMON, ...own];
  const faults = rules
    .filter(([field, check]) => !check(at(body, field)))
    .map(([field, , words]) => fault(`\`${field}\` of the request is not what it may be`, `Give ${words}`));
  const [leg, legPrint] = [at(body, 'design.leg.name'), at(body, 'design.leg.fingerprint')];
  if ((leg === undefined) !== (legPrint === undefined))
    faults.push(
      fault('`design.leg` of the request is not whole', 'Give its `name` and its `fingerprint`, or neither'),
    );
  if (faults.length === 0)
    for (const field of unknownFields(body, rules, ''))
      faults.push(fault(`the request has a field \`${field}\` that nothing reads`, 'Leave it out'));
  return faults.length > 0 ? faults : (body as WorkRequest);
}

/** All of the study's requirements, those that were sent in their places; Fault where the study does not have one. */
export function sentRequirements(
  saved: readonly Requirement[],
  sent: NonNullable<StudyChange['requirements']>,
): readonly Requirement[] {
  const strange = sent.find((one) => !saved.some(({ id, metric }) => id === one.id && metric === one.metric));
  if (strange !== undefined)
    throw new Fault(
      fault(
        `\`design.change.requirements\` of the request names ${strange.id}, which the study does not ask of ${strange.metric}`,
        'Read the study again and ask anew',
      ),
    );
  return saved.map((requirement) => sent.find(({ id }) => id === requirement.id) ?? requirement);
}

const fault = (what: string, mend: string): FaultData => ({ code: 'server.work-request', what, mend });

const at = (body: unknown, field: string): unknown =>
  field
    .split('.')
    .reduce<unknown>(
      (inside, key) => (isRecord(inside) && Object.hasOwn(inside, key) ? inside[key] : undefined),
      body,
    );

const isRecord = (x: unknown): x is Record<string, unknown> =>
  typeof x === 'object' && x !== null && !Array.isArray(x);

/** Fields of no rule; what a rule names is looked at whole. */
function unknownFields(inside: unknown, rules: readonly Rule[], way: string): string[] {
  if (!isRecord(inside)) return [];
  return Object.keys(inside).flatMap((key) => {
    const field = `${way}${key}`;
    if (rules.some(([named]) => named === field)) return [];
    const onTheWay = rules.some(([named]) => named.startsWith(`${field}.`)) || field === 'design.change';
    return onTheWay && isRecord(inside[key]) ? unknownFields(inside[key], rules, `${field}.`) : [field];
  });
}

function isRequirement(x: unknown): boolean {
  if (!isRecord(x)) return false;
  const { id, metric, joint, task, speed: walked, thigh: led, control, bound, because, ...more } = x;
  return (
    Object.keys(more).length === 0 &&
    [id, metric].every(text) &&
    typeof because === 'string' &&
    optional(oneOf('knee', 'ankle'))(joint) &&
    optional(text)(task) &&
    optional(speed)(walked) &&
    optional(thigh)(led) &&
    optional(oneOf('clock', 'study'))(control) &&
    isRecord(bound) &&
    Object.keys(bound).length === 2 &&
    oneOf('at most', 'at least')(bound.kind) &&
    Number.isFinite(bound.value)
  );
}
