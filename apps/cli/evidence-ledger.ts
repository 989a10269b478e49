import { evaluateStudy, type LedgerRow, type StudyInput } from '@striderule/engine';
import { heading } from './heading.ts';
import { ledgerReason } from './ledger-reason.ts';
import { ledgerCsv, ledgerTable, ledgerVerdict } from './ledger-table.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

const NOT_MET = 3;

/** The ledger as `npm start` and `evidence ledger` print it: verdict, study, table, cautions. */
export function ledgerText(input: StudyInput, rows: readonly LedgerRow[]): string {
  return `${strong(ledgerVerdict(rows))}\n${heading(input)}\n\n${ledgerTable(rows)}`;
}

/** `evidence ledger`: each requirement with what is known about it. */
export async function evidenceLedger(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  oneForm(values, 'csv', 'why');
  const { input } = await readStudy(values);
  const { ledger } = evaluateStudy(input);
  const asked = values.why as string | undefined;
  const id =
    asked === undefined
      ? undefined
      : oneOf(
          '--why',
          asked,
          ledger.map((row) => row.requirement.id),
        );
  const rows = id === undefined ? ledger : ledger.filter((row) => row.requirement.id === id);

  if (values.json)
    out(json({ study: input.name, demo: input.demo, units: 'SI, as named in each row', ledger: rows }));
  else if (values.csv) out(ledgerCsv(rows));
  else if (id === undefined) out(ledgerText(input, rows));
  else out(`${heading(input)}\n\n${rows.map(ledgerReason).join('\n\n')}`);

  return values.strict && rows.some((row) => row.state === 'not met') ? NOT_MET : 0;
}
