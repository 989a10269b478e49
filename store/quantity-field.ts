import { EXAMPLE_UNITS, type Kind, parseQuantity, parseWidth } from '@striderule/engine';
import { z } from 'zod';

/** A quantity of a study file in SI, with what its writer said about how sure it is. */
export interface Quantity {
  readonly si: number;
  readonly sd?: number;
  /** Half width of an interval, every value in it equally likely. */
  readonly range?: number;
  readonly basis: 'designed' | 'measured' | 'assumed';
  readonly because?: string;
}

const written = z.union([z.string(), z.number()]);

/** A bound on the SI value, with the words of its fault. */
export interface Bound {
  readonly ok: (si: number) => boolean;
  readonly what: string;
  readonly mend: string;
}

export const positive: Bound = {
  ok: (x) => x > 0,
  what: 'must be above zero',
  mend: 'Give a value above zero, or leave the field out if it is not known',
};
export const notNegative: Bound = {
  ok: (x) => x >= 0,
  what: 'must not be negative',
  mend: 'Give zero or a positive value',
};
export const efficiency: Bound = {
  ok: (x) => x > 0 && x <= 1,
  what: 'must be above 0 and at most 1',
  mend: 'An efficiency is power out ÷ power in: write 0.94 or 94 %',
};
export const share: Bound = {
  ok: (x) => x >= 0 && x <= 1,
  what: 'must lie between 0 and 1',
  mend: 'Write a share such as 0.5 or 50 %',
};

/** How a field is told what is wrong: zod carries it as `params.mend`. */
const complain = (ctx: z.RefinementCtx, what: string, mend: string, path: PropertyKey[] = []) =>
  ctx.addIssue({ code: 'custom', message: what, params: { mend }, path });

/** A spread may be relative (`30 %`) or in the field's own unit. */
function spreadOf(text: string | number, kind: Kind, nominal: number): ReturnType<typeof parseQuantity> {
  if (kind !== 'pure number' && /%\s*$/.test(String(text))) {
    if (kind === 'temperature') {
      return {
        what: `\`${text}\` of a temperature depends on where its scale begins`,
        mend: 'Write the width in K, such as `2 K`',
      };
    }
    const relative = parseQuantity(text, 'pure number');
    return 'si' in relative ? { si: Math.abs(nominal * relative.si) } : relative;
  }
  return parseWidth(text, kind);
}

/**
 * A quantity field of one kind: `0.05 N*m`, or `{ value, sd | range, basis, because }`.
 * A bare scalar is `designed`. `assumed` needs a reason.
 */
export function quantity(kind: Kind, bound?: Bound): QuantityField {
  const key = `${kind} ${bound?.what ?? ''}`;
  const made = fields.get(key) ?? quantityField(kind, bound);
  fields.set(key, made);
  return made;
}

type QuantityField = ReturnType<typeof quantityField>;

// One schema for each kind and bound, so that the published JSON Schema defines it once.
const fields = new Map<string, QuantityField>();

function quantityField(kind: Kind, bound?: Bound) {
  return z
    .union([
      written,
      z.strictObject({
        value: written,
        sd: written.optional(),
        range: written.optional(),
        basis: z.enum(['designed', 'measured', 'assumed']).optional(),
        because: z.string().optional(),
      }),
    ])
    .transform((raw, ctx): Quantity => {
      const full = typeof raw === 'object' ? raw : { value: raw };
      const inside: PropertyKey[] = typeof raw === 'object' ? ['value'] : [];
      const value = parseQuantity(full.value, kind);
      if (!('si' in value)) {
        complain(ctx, value.what, value.mend, inside);
        return z.NEVER;
      }
      if (bound !== undefined && !bound.ok(value.si)) {
        complain(ctx, `\`${full.value}\` ${bound.what}`, bound.mend, inside);
        return z.NEVER;
      }
      const basis = full.basis ?? 'designed';
      if (basis !== 'designed' && !full.because) {
        complain(
          ctx,
          basis === 'assumed'
            ? 'an assumed value has no reason'
            : 'a measured value does not say by which run',
          basis === 'assumed'
            ? 'Add `because:` with the reason'
            : "Add `because:` with the run's name or fingerprint",
        );
      }
      if (full.sd !== undefined && full.range !== undefined)
        complain(ctx, 'both `sd` and `range` are given', 'Keep one of them');
      const spread: { sd?: number; range?: number } = {};
      for (const key of ['sd', 'range'] as const) {
        const text = full[key];
        if (text === undefined) continue;
        const parsed = spreadOf(text, kind, value.si);
        if (!('si' in parsed)) complain(ctx, parsed.what, parsed.mend, [key]);
        else if (parsed.si < 0)
          complain(ctx, `\`${text}\` must not be negative`, 'A spread is a width: write it positive', [key]);
        else spread[key] = parsed.si;
      }
      return { si: value.si, ...spread, basis, ...(full.because !== undefined && { because: full.because }) };
    })
    .meta({
      // one definition for each kind and bound in the published schema, under a name that lasts
      id: `${kind} ${bound?.what ?? ''}`.trim().replace(/[^a-z0-9]+/gi, '-'),
      description: `${kind}: ${EXAMPLE_UNITS[kind]}; or { value, sd | range, basis, because }`,
    });
}

/** `from` and `to` of one kind, the smaller first. */
export function interval(kind: Kind) {
  return z.strictObject({ from: quantity(kind), to: quantity(kind) }).superRefine(({ from, to }, ctx) => {
    if (!(from.si < to.si))
      complain(ctx, 'the range runs backwards', 'Write the smaller value at `from:`', ['from']);
  });
}
