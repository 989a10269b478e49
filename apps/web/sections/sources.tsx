import type { StrideDemand, StudyInput } from '@striderule/engine';
import { groundText } from '../show/ground-text.ts';
import { fixed } from '../show/number.ts';
import { Prose } from './prose.tsx';
import { Section } from './section.tsx';

/** Strides a task rests on: its own, or the classes between which its speed lies. */
function stridesOf(input: StudyInput, demand: StrideDemand) {
  const { task } = demand;
  if (task.kind !== 'stride') return [];
  const own = input.strides[task.stride];
  if (task.speed === undefined && own !== undefined) return [own];
  return Object.values(input.strides).filter(
    (stride) => demand.notes.some((note) => note.includes(stride.title)) || stride === own,
  );
}

/** Where the chosen task's numbers come from, and what to know about them. */
export function Sources({ input, demand }: { readonly input: StudyInput; readonly demand: StrideDemand }) {
  const strides = stridesOf(input, demand);
  const scale = Object.entries(demand.joints).flatMap(([joint, own]) =>
    own.scaleNotes.length > 0
      ? own.scaleNotes
      : [`The published ${joint} moment is scaled by body mass alone.`],
  );
  return (
    <Section title={`Where ${demand.task.title} comes from`}>
      {strides.map(({ id, title, origin, people }) => (
        <p key={id} className="source">
          <b>{title}.</b> {people.count > 0 && `${people.count} ${people.who}. `}
          <cite>{origin.citation}</cite>
          {origin.doi !== undefined && `, doi ${origin.doi}`}. <span className="quiet">{origin.status}.</span>{' '}
          Licence: {origin.licence}
        </p>
      ))}
      <p className="source">
        Scaled to {input.wearer.code}, {fixed(input.wearer.mass, 1)} kg without the device; stride time{' '}
        {fixed(demand.strideTime, 3)} s{Number.isNaN(demand.speed) ? '' : ` at ${fixed(demand.speed, 2)} m/s`}
        {strides.length === 1 && strides[0]?.incline !== undefined
          ? `, ${groundText(strides[0].incline)}`
          : ''}
        .
      </p>
      <ul className="notes">
        {[...new Set([...demand.notes, ...scale])].map((note) => (
          <li key={note}>
            <Prose text={note} />
          </li>
        ))}
      </ul>
    </Section>
  );
}
