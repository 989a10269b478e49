import { evaluateDesign, type StudyInput, studyDemands } from '@striderule/engine';
import { type ReactNode, Suspense, useCallback, useEffect, useMemo, useState } from 'react';
import { atRest } from './at-rest.ts';
import { askedDesign } from './design/asked-design.ts';
import { ChangeActs } from './design/change-acts.tsx';
import { SavePanel } from './design/save-panel.tsx';
import { useDraft } from './design/use-draft.ts';
import { useLedger } from './design/use-ledger.ts';
import { useLedgerWalks } from './design/use-ledger-walks.ts';
import { Rail } from './frame/rail.tsx';
import { STAGE } from './frame/stage-state.ts';
import { LATER } from './later-pages.ts';
import { type NotWorked, NotWorkedContext } from './ledger/not-worked.ts';
import { Demand } from './pages/demand.tsx';
import type { PageName } from './place.ts';
import type { Metrics } from './read-study.ts';
import { Head } from './sections/head.tsx';
import { usePlace } from './use-place.ts';

const {
  drive: { Page: Drive },
  control: { Page: Control },
  walk: { Page: Walk },
  evidence: { Page: Evidence },
} = LATER;

interface StudyProps {
  readonly input: StudyInput;
  readonly metrics: Metrics;
  /** Of what was read: SHA-256. */
  readonly fingerprint: string;
  /** Says that the server is gone, where it is. */
  readonly lost: ReactNode;
  /** Reads the study again. */
  readonly again: () => void;
}

/** A study that could be read: its stages, and the page of the one that is open. Every page shows the design as it stands here. */
export function Study({ input, metrics, fingerprint, lost, again }: StudyProps) {
  const reading = usePlace();
  const demands = useMemo(() => studyDemands(input), [input]);
  const savedDesign = useMemo(() => evaluateDesign(input, demands), [input, demands]);
  const drafting = useDraft(input, metrics);
  const { draft } = drafting;
  const design = useMemo(() => askedDesign(fingerprint, draft), [fingerprint, draft]);
  const result = useMemo(
    () => (draft.input === input ? savedDesign : evaluateDesign(draft.input, demands)),
    [draft, input, savedDesign, demands],
  );
  const worked = useLedger(input, draft, metrics);
  const { known, saved: savedRows } = worked;
  const { page } = reading;
  const walked = useLedgerWalks(draft.input, worked.ledger, page === 'walk' || page === 'evidence');
  const ledger = walked.rows;
  const notWorked = useMemo(
    (): NotWorked => ({ margins: worked.again, walks: walked.again }),
    [worked.again, walked.again],
  );
  const [saving, setSaving] = useState(false);
  const [said, setSaid] = useState('');
  const [file, setFile] = useState<File>();
  const unsavedPages = useMemo(
    (): PageName[] => [
      ...(draft.ratios.length > 0 ? ['drive' as const] : []),
      ...(draft.requirements.length > 0 ? ['evidence' as const] : []),
    ],
    [draft],
  );
  const unsaved = unsavedPages.length > 0;
  const close = useCallback(
    (what: string) => {
      setSaving(false);
      setSaid(what);
      // word of the change comes by itself, but on a slow disk only after a while
      if (what !== '') again();
    },
    [again],
  );
  useEffect(() => {
    if (unsaved) setSaid('');
    else setSaving(false);
  }, [unsaved]);
  useEffect(() => {
    return atRest(() => {
      for (const { ahead } of Object.values(LATER)) ahead();
    });
  }, []);
  useEffect(() => {
    document.title = `Striderule: ${STAGE[page].toLowerCase()}`;
  }, [page]);
  return (
    <NotWorkedContext value={notWorked}>
      <Head input={draft.input}>
        <ChangeActs drafting={drafting} onSave={() => setSaving(true)} />
      </Head>
      {lost}
      <Rail
        page={page}
        result={result}
        ledger={ledger}
        known={known}
        lost={worked.again !== undefined}
        unsaved={unsavedPages}
        toPage={reading.toPage}
      />
      <p className={said === '' ? 'sr' : 'saved-said'} role="status">
        {said}
      </p>
      {saving && unsaved ? <SavePanel draft={draft} onClose={close} /> : null}
      {page === 'demand' && (
        <Demand
          input={draft.input}
          result={result}
          reading={reading}
          file={file}
          onFile={setFile}
          onMade={close}
        />
      )}
      <Suspense
        fallback={
          <main>
            <h1 className="ask">Opening {STAGE[page]} …</h1>
          </main>
        }
      >
        {page === 'drive' && (
          <Drive
            saved={input}
            savedDesign={savedDesign}
            input={draft.input}
            metrics={metrics}
            change={draft.change}
            design={design}
            result={result}
            ledger={ledger}
            known={known}
            savedRows={savedRows}
            demands={demands}
            reading={reading}
            onRatio={drafting.setRatio}
          />
        )}
        {page === 'control' && (
          <Control drafting={drafting} result={result} ledger={ledger} known={known} reading={reading} />
        )}
        {page === 'walk' && (
          <Walk
            input={draft.input}
            design={design}
            result={result}
            ledger={ledger}
            known={known}
            reading={reading}
          />
        )}
        {page === 'evidence' && (
          <Evidence drafting={drafting} ledger={ledger} known={known} row={reading.row} />
        )}
      </Suspense>
    </NotWorkedContext>
  );
}
