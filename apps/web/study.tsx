import { evaluateStudy, type StudyInput, studyDemands } from '@striderule/engine';
import { useEffect, useMemo } from 'react';
import { useRatios } from './design/use-ratios.ts';
import { Rail } from './frame/rail.tsx';
import { STAGE } from './frame/stage-state.ts';
import { Demand } from './pages/demand.tsx';
import { Drive } from './pages/drive.tsx';
import { Evidence } from './pages/evidence.tsx';
import { usePlace } from './use-place.ts';

/** A study that could be read: its stages, and the page of the one that is open. Every page shows the design as it stands here. */
export function Study({ input }: { readonly input: StudyInput }) {
  const reading = usePlace();
  const demands = useMemo(() => studyDemands(input), [input]);
  const ratios = useRatios(input);
  const { draft, changes } = ratios;
  const result = useMemo(() => evaluateStudy(draft, demands), [draft, demands]);
  const { page } = reading;
  useEffect(() => {
    document.title = `Striderule: ${STAGE[page].toLowerCase()}`;
  }, [page]);
  return (
    <>
      <Rail page={page} result={result} unsaved={changes.length > 0} toPage={reading.toPage} />
      {page === 'demand' && <Demand input={draft} result={result} reading={reading} />}
      {page === 'drive' && (
        <Drive
          saved={input}
          input={draft}
          result={result}
          demands={demands}
          reading={reading}
          onRatio={ratios.set}
        />
      )}
      {page === 'evidence' && <Evidence input={draft} result={result} />}
    </>
  );
}
