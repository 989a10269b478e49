import { type FaultData, faultSentence } from '@striderule/engine';
import { useId } from 'react';

/** Faults of a study: what, where with the line and a caret, how to mend. */
export function Faults({
  faults,
  again,
}: {
  readonly faults: readonly FaultData[];
  readonly again: () => void;
}) {
  const name = useId();
  return (
    <section className="faults" aria-labelledby={name}>
      <h1 className="ask" id={name}>
        {faults.length === 1 ? 'One thing' : `${faults.length} things`} in this study must be mended before it
        can be computed.
      </h1>
      <ol>
        {faults.map((fault, k) => {
          const { file, line, column, path, excerpt } = fault.place ?? {};
          const spot = [file, line, column].filter((part) => part !== undefined).join(':');
          return (
            // biome-ignore lint/suspicious/noArrayIndexKey: faults have no name of their own and are replaced together
            <li key={k}>
              <p className="spot">
                {spot} {path !== undefined && path !== '' && <span className="quiet">{path}</span>}
              </p>
              <p>
                <b>{sentence(fault.what)}</b> {sentence(fault.mend)}
              </p>
              {excerpt !== undefined && (
                <pre>
                  {excerpt}
                  {column !== undefined && `\n${' '.repeat(column - 1)}^`}
                </pre>
              )}
            </li>
          );
        })}
      </ol>
      <p className="note">
        Save the file and this page reads the study again by itself; <code>striderule study check</code> lists
        the same faults. Nothing has been changed.
      </p>
      <button type="button" className="act" onClick={again}>
        Read the study again now
      </button>
    </section>
  );
}

const sentence = (text: string): string => faultSentence(`${text.charAt(0).toUpperCase()}${text.slice(1)}`);
