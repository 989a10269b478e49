import type { ChannelName } from '@striderule/engine';
import type { CsvPreview } from '@striderule/wire';
import { ChoiceField, TextField } from './fields.tsx';
import { CHANNELS, type Mapped, type RecipeForm } from './recipe-form.ts';

interface MappingProps {
  readonly form: RecipeForm;
  readonly preview: CsvPreview;
  readonly onChange: (form: RecipeForm) => void;
}

/** The first rows as the layout cuts them. */
export function FirstRows({ preview: { names, rows, layout } }: { readonly preview: CsvPreview }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label="First rows of the file">
      <table>
        <caption className="sr">
          Names in line {layout.namesLine}, data from line {layout.dataLine}
        </caption>
        <thead>
          <tr>
            {names.map((name, k) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: columns are their places; two may have one name
              <th scope="col" key={k}>
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, k) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows are their places
            <tr key={k}>
              {row.map((cell, i) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: cells are their places
                <td key={i}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** How the file is written. Proposed from its first lines, to be corrected where the table shows that it is not so. */
export function LayoutFields({ form, onChange }: Omit<MappingProps, 'preview'>) {
  const { layout } = form;
  const set = (part: Partial<RecipeForm['layout']>) => onChange({ ...form, layout: { ...layout, ...part } });
  const lines = Array.from({ length: 40 }, (_, k) => String(k + 1));
  return (
    <div className="fields">
      <ChoiceField
        label="Delimiter"
        value={layout.delimiter}
        choices={[
          [',', 'comma'],
          [';', 'semicolon'],
          ['tab', 'tab'],
        ]}
        onChange={(delimiter) => set({ delimiter: delimiter as RecipeForm['layout']['delimiter'] })}
      />
      <ChoiceField
        label="Decimal mark"
        value={layout.decimal}
        choices={[
          ['.', 'point'],
          [',', 'comma'],
        ]}
        onChange={(decimal) => set({ decimal: decimal as '.' | ',' })}
      />
      <ChoiceField
        label="Names in line"
        value={String(layout.namesLine)}
        choices={lines}
        onChange={(text) => set({ namesLine: Number(text) })}
      />
      <ChoiceField
        label="Data from line"
        value={String(layout.dataLine)}
        choices={lines}
        onChange={(text) => set({ dataLine: Number(text) })}
      />
    </div>
  );
}

/** Which column is what, in which unit, and which way it grows. */
export function Mapping({ form, preview, onChange }: MappingProps) {
  const set = (part: Partial<RecipeForm>) => onChange({ ...form, ...part });
  const setChannel = (name: ChannelName, part: Partial<Mapped>) => {
    const was = form.channels[name] ?? { column: '', unit: '', positive: '' };
    set({ channels: { ...form.channels, [name]: { ...was, ...part } } });
  };
  const columns = [
    ['', '–'],
    ...[...new Set(preview.names)].filter((name) => name !== '').map((name) => [name, name]),
  ] as const satisfies readonly (readonly string[])[];
  const choices = columns.map(([value, word]) => [value ?? '', word ?? ''] as const);
  return (
    <>
      <div className="fields">
        <ChoiceField
          label="Runs over"
          value={form.clock}
          choices={[
            ['time', 'time'],
            ['percent', 'per cent of stride'],
          ]}
          onChange={(clock) => set({ clock: clock as RecipeForm['clock'] })}
        />
        <ChoiceField
          label="in column"
          value={form.clockColumn}
          choices={choices}
          onChange={(clockColumn) => set({ clockColumn })}
        />
        {form.clock === 'time' ? (
          <ChoiceField
            label="in"
            value={form.timeUnit}
            choices={['s', 'ms']}
            onChange={(unit) => set({ timeUnit: unit as 's' | 'ms' })}
          />
        ) : (
          <TextField
            label="Stride time"
            hint="1.1 s"
            value={form.strideTime}
            onChange={(strideTime) => set({ strideTime })}
          />
        )}
        <ChoiceField
          label="Strides numbered by"
          value={form.strideColumn}
          choices={choices}
          onChange={(strideColumn) => set({ strideColumn })}
        />
        {form.strideColumn === '' ? null : (
          <ChoiceField
            label="100 % is"
            value={form.strideEnds}
            choices={[
              ['next row', 'the first row of the next stride'],
              ['last row', 'the stride’s own last row'],
            ]}
            onChange={(ends) => set({ strideEnds: ends as RecipeForm['strideEnds'] })}
          />
        )}
      </div>
      <table className="mapping">
        <caption className="sr">What each column holds</caption>
        <thead>
          <tr>
            <th scope="col">Quantity</th>
            <th scope="col" className="word">
              column
            </th>
            <th scope="col" className="word">
              unit
            </th>
            <th scope="col" className="word">
              grows with
            </th>
          </tr>
        </thead>
        <tbody>
          {CHANNELS.map(({ name, title, units, signs }) => {
            const { column = '', unit = units[0]!, positive = signs[0] } = form.channels[name] ?? {};
            return (
              <tr key={name}>
                <th scope="row">{title}</th>
                <td className="word">
                  <ChoiceField
                    bare
                    label={`${title}: column`}
                    value={column}
                    choices={choices}
                    onChange={(chosen) => setChannel(name, { column: chosen, unit, positive })}
                  />
                </td>
                {column === '' ? (
                  <td colSpan={2} />
                ) : (
                  <>
                    <td className="word">
                      <ChoiceField
                        bare
                        label={`${title}: unit`}
                        value={unit}
                        choices={units}
                        onChange={(chosen) => setChannel(name, { unit: chosen })}
                      />
                    </td>
                    <td className="word">
                      <ChoiceField
                        bare
                        label={`${title}: grows with`}
                        value={positive}
                        choices={signs}
                        onChange={(chosen) => setChannel(name, { positive: chosen })}
                      />
                    </td>
                  </>
                )}
              </tr>
            );
          })}
        </tbody>
      </table>
      <div className="fields">
        <TextField
          label="Stance"
          hint="62 % or 20 N"
          value={form.stance}
          onChange={(stance) => set({ stance })}
        />
        <TextField label="Cut-off" hint="6 Hz" value={form.cutOff} onChange={(cutOff) => set({ cutOff })} />
        <TextField
          label="Body mass of the person"
          hint="78 kg"
          value={form.bodyMass}
          onChange={(bodyMass) => set({ bodyMass })}
        />
        <TextField label="Speed" hint="1.3 m/s" value={form.speed} onChange={(speed) => set({ speed })} />
        <TextField
          label="Incline, up ahead positive"
          hint="−5 deg; level: 0 deg"
          value={form.incline}
          onChange={(incline) => set({ incline })}
        />
      </div>
    </>
  );
}
