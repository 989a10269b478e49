import type { StudyInput } from '@striderule/engine';
import { type ComponentType, useEffect, useId, useState } from 'react';
import type { Hairline } from '../hairline.ts';

interface ImportStridesProps {
  readonly input: StudyInput;
  readonly hairline: Hairline;
  /** The file that is being imported, kept while other pages are open. */
  readonly file: File | undefined;
  readonly onFile: (file: File | undefined) => void;
  readonly onMade: (task: string, said: string) => void;
}

type Panel = ComponentType<{
  readonly file: File;
  readonly input: StudyInput;
  readonly hairline: Hairline;
  readonly onEnd: (made?: { readonly task: string; readonly said: string }) => void;
}>;

/** Takes a CSV that is dropped anywhere on the page, or chosen. What works on it is loaded with the first one. */
export function ImportStrides({ input, hairline, file, onFile, onMade }: ImportStridesProps) {
  const name = useId();
  const [panel, setPanel] = useState<{ readonly Panel: Panel } | 'lost'>();
  const [over, setOver] = useState(false);
  useEffect(() => {
    if (file === undefined || (panel !== undefined && panel !== 'lost')) return;
    import('./import-panel.tsx').then(
      ({ default: Panel }) => setPanel({ Panel }),
      () => setPanel('lost'),
    );
  }, [file, panel]);
  useEffect(() => {
    const holds = (event: DragEvent) => event.dataTransfer?.types.includes('Files') === true;
    const onOver = (event: DragEvent) => {
      if (!holds(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const onLeave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false);
    };
    const onDrop = (event: DragEvent) => {
      if (!holds(event)) return;
      event.preventDefault();
      setOver(false);
      const dropped = event.dataTransfer?.files[0];
      if (dropped !== undefined) onFile(dropped);
    };
    addEventListener('dragover', onOver);
    addEventListener('dragleave', onLeave);
    addEventListener('drop', onDrop);
    return () => {
      removeEventListener('dragover', onOver);
      removeEventListener('dragleave', onLeave);
      removeEventListener('drop', onDrop);
    };
  }, [onFile]);
  return (
    <>
      <p className={over ? 'take over' : 'take'}>
        <label htmlFor={name}>Your own strides: drop a CSV anywhere on this page, or choose one</label>{' '}
        <input
          id={name}
          type="file"
          accept=".csv,.txt,text/csv"
          onChange={({ target }) => {
            const [chosen] = target.files ?? [];
            if (chosen !== undefined) onFile(chosen);
            target.value = ''; // the same name, mended, is another file
          }}
        />
      </p>
      {panel === 'lost' && file !== undefined ? (
        <p role="alert" className="strong">
          The server does not answer, so {file.name} cannot be read now. Start it again, and drop the file
          once more.
        </p>
      ) : null}
      {file === undefined || panel === undefined || panel === 'lost' ? null : (
        <panel.Panel
          file={file}
          input={input}
          hairline={hairline}
          onEnd={(made) => {
            onFile(undefined);
            if (made !== undefined) onMade(made.task, made.said);
          }}
        />
      )}
    </>
  );
}
