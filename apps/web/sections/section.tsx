import { type ReactNode, type Ref, useId } from 'react';

interface SectionProps {
  readonly title: string;
  /** What can be done with the whole, beside the title. */
  readonly acts?: ReactNode;
  readonly ref?: Ref<HTMLElement>;
  readonly children: ReactNode;
}

/** One part of a page: its title, what can be done with it, its content. */
export function Section({ title, acts, ref, children }: SectionProps) {
  const name = useId();
  return (
    <section aria-labelledby={name} ref={ref}>
      <div className="cap">
        <h2 id={name}>{title}</h2>
        {acts}
      </div>
      {children}
    </section>
  );
}
