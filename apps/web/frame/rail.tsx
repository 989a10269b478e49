import type { DesignResult, LedgerRow } from '@striderule/engine';
import type { Known } from '../design/use-ledger.ts';
import { PAGES, type PageName } from '../place.ts';
import { STAGE, stageState } from './stage-state.ts';

interface RailProps {
  readonly page: PageName;
  readonly result: DesignResult;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  /** Whether what is not known yet does not come by itself. */
  readonly lost: boolean;
  /** Stages whose changes are not in the files yet. */
  readonly unsaved: readonly PageName[];
  readonly toPage: (page: PageName) => void;
}

/** The stages that stand, in the order of the data, each with its state in words. */
export function Rail({ page, result, ledger, known, lost, unsaved, toPage }: RailProps) {
  return (
    <nav aria-label="Stages" className="rail">
      <ol>
        {PAGES.map((name) => (
          <li key={name}>
            <a
              href={`#page=${name}`}
              aria-current={name === page ? 'page' : undefined}
              onClick={(event) => {
                if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
                event.preventDefault();
                if (name !== page) toPage(name);
              }}
            >
              <span className="stage">{STAGE[name]}</span>{' '}
              <span className="quiet">
                {stageState(name, result.demands, ledger, { known, lost, unsaved })}
              </span>
            </a>
          </li>
        ))}
      </ol>
    </nav>
  );
}
