import { useEffect } from 'react';
import { written } from '../show/number.ts';
import type { Step } from './change-history.ts';
import type { Changes } from './use-changes.ts';

interface ChangeActsProps {
  readonly changed: Changes;
  readonly onSave: () => void;
}

const arrow = (from: number, to: number): string => `${written(from)} → ${written(to)}`;

/** The change that is taken back or made again. */
function words(step: Step | undefined): string {
  if (step === undefined) return '';
  const { joint } = step;
  if (step.what === 'ratio') return ` ${joint} ratio ${arrow(step.from, step.to)}`;
  const of = (what: 'stiffness' | 'damping', unit: string): string[] =>
    step.from[what] === step.to[what] ? [] : [`${arrow(step.from[what], step.to[what])} ${unit}`];
  return ` ${joint} ${[...of('stiffness', 'N·m/rad'), ...of('damping', 'N·m·s/rad')].join(', ')}`;
}

/** Undo, redo and save, each with what it would do; Ctrl+Z and Ctrl+Shift+Z do the same on every page. */
export function ChangeActs({ changed, onSave }: ChangeActsProps) {
  const { undo, redo, canUndo, canRedo, changes } = changed;
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
