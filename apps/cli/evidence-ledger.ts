import {
  evaluateStudy,
  type KeptWalks,
  type LedgerRow,
  type StudyInput,
  withWalks,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { ledgerReason } from './ledger-reason.ts';
import { ledgerCsv, ledgerTable, ledgerVerdict } from './ledger-table.ts';
import { keptWalks, walkedLedger } from './ledger-walks.ts';
import { json, out, say, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

const NOT_MET = 3;

/** The ledger of a study in text as it is known now: nothing is walked for it. */
export async function ledgerOf(folder: string, input: StudyInput): Promise<string> {
  const walks = await keptWalks(folder, input);
  return ledgerText(input, withWalks(input, evaluateStudy(input).ledger, walks));
}

/** The ledger as `npm start` and `evidence ledger` print it: verdict, study, table, cautions. */
function ledgerText(input: StudyInput, rows: readonly LedgerRow[]): string {
  return `${strong(ledgerVerdict(rows))}\n${heading(input)}\n\n${ledgerTable(rows)}`;
}

/** `evidence ledger`: each requirement with what is known about it; what walks judge is walked where it is not kept, or not of the study as it stands. */
export async function evidenceLedger(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  oneForm(values, 'csv', 'why');
  const { folder, input } = await readStudy(values);
  let walks: KeptWalks;
  try {
    walks = values.kept ? await keptWalks(folder, input) : await walkedLedger(folder, input);
  } catch (error) {
    if (!(error instanceof Error && error.name === 'AbortError')) throw error;
    say('Stopped. What was walked is kept; the same command goes on from there.');
    return 130;
  }
  const ledger = withWalks(input, evaluateStudy(input).ledger, walks);
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
