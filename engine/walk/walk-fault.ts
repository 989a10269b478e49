/**
 * Something that goes wrong in a walk, from `time` s after its beginning on.
 *
 * - `reading`: what a sensor says. `missing`: no number; `stuck`: what it said then; `off`: too much by `by`, rad or N. For `lasts` s, +∞:
 *   for good. The thigh's angle and rate come from one sensor and are missing or stuck together; only the angle is off.
 * - `power`: all power is cut; the phases of each joint do what the leg file's hardware does.
 * - `pack`: the pack opens. What the joints draw and return goes through the capacitor and the brake resistor alone.
 * - `hot`: both windings are at so many K.
 * - `empty`: the pack, without load, gives so many V.
 */
export type WalkFault = { readonly time: number } & (
  | {
      readonly kind: 'reading';
      readonly sensor: 'thigh' | 'knee' | 'ankle' | 'load';
      readonly how: 'missing' | 'stuck' | 'off';
      readonly by?: number;
      readonly lasts: number;
    }
  | { readonly kind: 'power' }
  | { readonly kind: 'pack' }
  | { readonly kind: 'hot'; readonly winding: number }
  | { readonly kind: 'empty'; readonly voltage: number }
);
