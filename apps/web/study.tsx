import { type StudyInput, studyDemands } from '@striderule/engine';
import { lazy, type ReactNode, Suspense, useCallback, useEffect, useMemo, useState } from 'react';
import { ChangeActs } from './design/change-acts.tsx';
import { SavePanel } from './design/save-panel.tsx';
import { useChanges } from './design/use-changes.ts';
import { useLedger } from './design/use-ledger.ts';
import { Rail } from './frame/rail.tsx';
import { STAGE } from './frame/stage-state.ts';
import { Demand } from './pages/demand.tsx';
import { Drive } from './pages/drive.tsx';
import { Evidence } from './pages/evidence.tsx';
import { Head } from './sections/head.tsx';
import { usePlace } from './use-place.ts';

/** Loaded when they are opened: the other pages do not wait for them. */
const Control = lazy(() => import('./pages/control.tsx'));
const Walk = lazy(() => import('./pages/walk.tsx'));

interface StudyProps {
  readonly input: StudyInput;
  /** Says that the server is gone, where it is. */
  readonly lost: ReactNode;
  /** Reads the study again. */
  readonly again: () => void;
}

/** A study that could be read: its stages, and the page of the one that is open. Every page shows the design as it stands here. */
export function Study({ input, lost, again }: StudyProps) {
  const reading = usePlace();
  const demands = useMemo(() => studyDemands(input), [input]);
  const changed = useChanges(input);
  const { draft, changes } = changed;
  const { result, ledger, whole } = useLedger(draft, demands);
  const { page } = reading;
  const [saving, setSaving] = useState(false);
  const [said, setSaid] = useState('');
  const unsaved = changes.length > 0;
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
    document.title = `Striderule: ${STAGE[page].toLowerCase()}`;
  }, [page]);
  return (
    <>
      <Head input={draft}>
        <ChangeActs changed={changed} onSave={() => setSaving(true)} />
      </Head>
      {lost}
      <Rail
        page={page}
        result={result}
        ledger={ledger}
        whole={whole}
        unsaved={unsaved}
        toPage={reading.toPage}
      />
      <p className={said === '' ? 'sr' : 'saved-said'} role="status">
        {said}
      </p>
      {saving && unsaved ? <SavePanel changes={changes} onClose={close} /> : null}
      {page === 'demand' && <Demand input={draft} result={result} reading={reading} />}
      {page === 'drive' && (
        <Drive
          saved={input}
          input={draft}
          result={result}
          ledger={ledger}
          whole={whole}
          demands={demands}
          reading={reading}
          onRatio={changed.set}
        />
      )}
      <Suspense
        fallback={
          <main>
            <h1 className="ask">Opening {STAGE[page]} …</h1>
          </main>
        }
      >
        {page === 'control' && (
          <Control
            input={draft}
            result={result}
            ledger={ledger}
            whole={whole}
            reading={reading}
            changed={changed}
          />
        )}
        {page === 'walk' && (
          <Walk input={draft} result={result} ledger={ledger} whole={whole} reading={reading} />
        )}
      </Suspense>
      {page === 'evidence' && <Evidence input={draft} ledger={ledger} whole={whole} row={reading.row} />}
    </>
  );
}
