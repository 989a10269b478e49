import { Fault, type FaultData } from '@striderule/engine';
import { Component, type ReactNode } from 'react';

import { firstPageReady } from './later-pages.ts';
import { Faults } from './sections/faults.tsx';
import { Head } from './sections/head.tsx';
import { Study } from './study.tsx';
import { useStudy } from './study-link.ts';

export function App() {
  const { state, lost, again } = useStudy(firstPageReady);
  const gone = (
    <p className={lost ? 'lost' : 'sr'} role="status">
      {lost
        ? 'The server does not answer. What stands here is the study as it was last read; start the server again with `npm start` and open the address it prints.'
        : ''}
    </p>
  );
  if (state.kind === 'study')
    return (
      <Computed fingerprint={state.fingerprint} again={again} head={<Head input={state.input} />}>
        <Study
          input={state.input}
          metrics={state.metrics}
          fingerprint={state.fingerprint}
          lost={gone}
          again={again}
        />
      </Computed>
    );
  return (
    <>
      <Head />
      {gone}
      {state.kind === 'reading' && (
        <main>
          <h1 className="ask">{lost ? 'The study could not be read.' : 'Reading the study …'}</h1>
        </main>
      )}
      {state.kind === 'refused' && (
        <main>
          <h1 className="ask">The study could not be read.</h1>
          <p>{state.why}</p>
        </main>
      )}
      {state.kind === 'faults' && (
        <main>
          <Faults faults={state.faults} again={again} />
        </main>
      )}
    </>
  );
}

interface ComputedProps {
  readonly fingerprint: string;
  readonly again: () => void;
  /** Stands over the faults. */
  readonly head: ReactNode;
  readonly children: ReactNode;
}

/** What the engine refuses while it computes is a fault of the study too, and is shown as one. */
// biome-ignore lint/style/useReactFunctionComponents: only a class can catch what its children throw
class Computed extends Component<ComputedProps, { faults: readonly FaultData[] | undefined }> {
  override state: { faults: readonly FaultData[] | undefined } = { faults: undefined };

  static getDerivedStateFromError(error: unknown) {
    if (error instanceof Fault) return { faults: error.faults };
    throw error;
  }

  override componentDidUpdate(before: ComputedProps) {
    if (before.fingerprint !== this.props.fingerprint && this.state.faults !== undefined)
      this.setState({ faults: undefined });
  }

  override render() {
    const { faults } = this.state;
    return faults === undefined ? (
      this.props.children
    ) : (
      <>
        {this.props.head}
        <main>
          <Faults faults={faults} again={this.props.again} />
        </main>
      </>
    );
  }
}
