import { Fault, type Kind, parseQuantity } from '@striderule/engine';
import type { Values } from './values.ts';

/** An option that is a quantity, such as `--distance 0.5m`, in SI and above zero; undefined where it is not given. */
export function quantityOption(values: Values, name: string, kind: Kind): number | undefined {
  const text = values[name] as string | undefined;
  if (text === undefined) return undefined;
  const parsed = parseQuantity(text, kind);
  if (!('si' in parsed)) {
    throw new Fault({ code: 'cli.quantity', what: `--${name}: ${parsed.what}`, mend: parsed.mend });
  }
  if (!(parsed.si > 0)) {
    throw new Fault({
      code: 'cli.quantity',
      what: `--${name} "${text}" is not above zero`,
      mend: 'Give a positive value',
    });
  }
  return parsed.si;
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
