import { useId } from 'react';

interface FieldProps {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  /** An example, or what is left out. */
  readonly hint?: string;
}

/** A labelled text. */
export function TextField({ label, value, onChange, hint }: FieldProps) {
  const name = useId();
  return (
    <p className="field">
      <label htmlFor={name}>{label}</label>
      <input
        id={name}
        type="text"
        autoComplete="off"
        spellCheck={false}
        value={value}
        placeholder={hint}
        onChange={({ target }) => onChange(target.value)}
      />
    </p>
  );
}

interface ChoiceProps extends Omit<FieldProps, 'hint'> {
  /** Values with their words; a value alone is its own word. */
  readonly choices: readonly (string | readonly [value: string, word: string])[];
  /** The label is for screen readers alone, since the table says it. */
  readonly bare?: boolean;
}

/** A labelled choice. */
export function ChoiceField({ label, value, onChange, choices, bare = false }: ChoiceProps) {
  const name = useId();
  const field = (
    <select
      id={name}
      value={value}
      aria-label={bare ? label : undefined}
      onChange={({ target }) => onChange(target.value)}
    >
      {choices.map((choice) => {
        const [own, word] = typeof choice === 'string' ? [choice, choice] : choice;
        return (
          <option key={own} value={own}>
            {word}
          </option>
        );
      })}
    </select>
  );
  if (bare) return field;
  return (
    <p className="field">
      <label htmlFor={name}>{label}</label>
      {field}
    </p>
  );
}
