import { Fault, type Kind, parseQuantity } from '@striderule/engine';
import type { Values } from './values.ts';

/** An option that is a quantity, such as `--distance 0.5m`, in SI and above zero; undefined where it is not given. */
export function quantityOption(values: Values, name: string, kind: Kind): number | undefined {
  const si = signedOption(values, name, kind);
  if (si === undefined || si > 0) return si;
  throw new Fault({
    code: 'cli.quantity',
    what: `--${name} "${values[name]}" is not above zero`,
    mend: 'Give a positive value',
  });
}

/** The same of any sign: `--incline=-3deg`. */
export function signedOption(values: Values, name: string, kind: Kind): number | undefined {
  const text = values[name] as string | undefined;
  if (text === undefined) return undefined;
  const parsed = parseQuantity(text, kind);
  if ('si' in parsed) return parsed.si;
  throw new Fault({ code: 'cli.quantity', what: `--${name}: ${parsed.what}`, mend: parsed.mend });
}

/** An option that is a plain number; undefined where it is not given. */
export function numberOption(values: Values, name: string): number | undefined {
  const text = values[name] as string | undefined;
  if (text === undefined) return undefined;
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value)) return value;
  throw new Fault({
    code: 'cli.number',
    what: `--${name} "${text}" is no number`,
    mend: 'Write it as in 94 or 93.8',
  });
}
