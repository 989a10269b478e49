import { useEffect } from 'react';
import { written } from '../show/number.ts';
import type { RatioStep } from './ratio-history.ts';
import type { Ratios } from './use-ratios.ts';

interface ChangeActsProps {
  readonly ratios: Ratios;
  readonly onSave: () => void;
}

/** The change that is taken back or made again. */
const words = (step: RatioStep | undefined): string =>
  step === undefined ? '' : ` ${step.joint} ratio ${written(step.from)} → ${written(step.to)}`;

/** Undo, redo and save, each with what it would do; Ctrl+Z and Ctrl+Shift+Z do the same on every page. */
export function ChangeActs({ ratios, onSave }: ChangeActsProps) {
  const { undo, redo, canUndo, canRedo, changes } = ratios;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      // a text that is being typed has an undo of its own
      if (event.target instanceof HTMLInputElement && event.target.type === 'text') return;
      const key = event.key.toLowerCase();
      if (key === 'z') (event.shiftKey ? redo : undo)();
      else if (key === 'y') redo();
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [undo, redo]);
  return (
    <span className="acts changes">
      <button type="button" className="act" disabled={canUndo === undefined} onClick={undo}>
        Undo{words(canUndo)}
      </button>
      <button type="button" className="act" disabled={canRedo === undefined} onClick={redo}>
        Redo{words(canRedo)}
      </button>
      <button type="button" className="act" disabled={changes.length === 0} onClick={onSave}>
        Save …
      </button>
    </span>
  );
}
