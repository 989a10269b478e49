import { landingVerdict } from '@striderule/engine';
import { useMemo } from 'react';
import { HipBracket } from './hip-bracket.tsx';
import { OutsideChecks } from './outside-checks.tsx';
import { useWalk } from './use-walk.ts';
import type { Walked } from './walk-store.ts';

/** What holds for a walk of every day: its hip with the thigh moved both ways, and published figures beside it. */
export function OfEveryDay({ walked, fileName }: { readonly walked: Walked; readonly fileName: string }) {
  const { report, ask } = walked;
  const other = useWalk(
    useMemo(
      () => ({
        ...ask,
        choice: { ...ask.choice, thigh: report.thigh === 'led' ? ('prescribed' as const) : ('led' as const) },
      }),
      [ask, report],
    ),
  );
  const landing = landingVerdict(report);
  const ofOther = other.walked?.ask.input === ask.input ? other.walked.report : undefined;
  const bracket = ofOther?.thigh === report.thigh || other.done !== undefined ? undefined : ofOther;
  return (
    <>
      <HipBracket
        leg={ask.input.leg.name}
        fileName={fileName}
        report={report}
        other={bracket}
        refused={
          other.refused?.kind === 'open'
            ? other.refused.because
            : other.refused?.kind === 'faults'
              ? other.refused.faults[0]?.what
              : undefined
        }
      />
      {landing !== undefined && (
        <p className="note">
          {ask.input.leg.name}, {landing}
        </p>
      )}
      <OutsideChecks checks={report.checks} fileName={fileName} />
    </>
  );
}
