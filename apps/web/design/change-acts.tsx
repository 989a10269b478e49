import { useEffect } from 'react';
import { written } from '../show/number.ts';
import type { Step } from './history.ts';
import type { Drafting } from './use-draft.ts';

interface ChangeActsProps {
  readonly drafting: Drafting;
  readonly onSave: () => void;
}

const arrow = (from: number, to: number): string => `${written(from)} → ${written(to)}`;

/** One step in words. */
function stepWords(step: Step): string {
  if ('ratio' in step) return `${step.ratio} ratio ${arrow(step.from, step.to)}`;
  if ('gains' in step) {
    const of = (what: 'stiffness' | 'damping', unit: string): string[] =>
      step.from[what] === step.to[what] ? [] : [`${arrow(step.from[what], step.to[what])} ${unit}`];
    return `${step.gains} ${[...of('stiffness', 'N·m/rad'), ...of('damping', 'N·m·s/rad')].join(', ')}`;
  }
  const { requirement, from, to } = step;
  const parts = [
    ...(from.value === to.value ? [] : [`${from.text} → ${to.text}`]),
    ...(from.joint === to.joint ? [] : [`${from.joint} → ${to.joint}`]),
    ...(from.task === to.task ? [] : [`${from.task ?? 'every task'} → ${to.task ?? 'every task'}`]),
    ...(from.because === to.because ? [] : ['reason']),
  ];
  return `${requirement} ${parts.join(', ')}`;
}

/** The change that is taken back or made again. */
const words = (step: Step | undefined): string => (step === undefined ? '' : ` ${stepWords(step)}`);

/** Undo, redo and save, each with what it would do; Ctrl+Z and Ctrl+Shift+Z do the same on every page. */
export function ChangeActs({ drafting, onSave }: ChangeActsProps) {
  const { undo, redo, canUndo, canRedo, draft } = drafting;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      // a text that is being typed has an undo of its own
      const { target } = event;
      if (target instanceof HTMLTextAreaElement) return;
      if (target instanceof HTMLInputElement && target.type === 'text') return;
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
      <button
        type="button"
        className="act"
        disabled={draft.ratios.length + draft.requirements.length === 0}
        onClick={onSave}
      >
        Save …
      </button>
    </span>
  );
}
