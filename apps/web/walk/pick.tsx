interface PickProps<T> {
  readonly legend: string;
  readonly name: string;
  readonly options: readonly { readonly key: string; readonly value: T; readonly text: string }[];
  readonly chosen: string;
  readonly onPick: (value: T) => void;
}

/** One of several, written as words. */
export function Pick<T>({ legend, name, options, chosen, onPick }: PickProps<T>) {
  return (
    <fieldset className="pick">
      <legend>{legend}</legend>
      <div className="words">
        {options.map(({ key, value, text }) => (
          <label key={key}>
            <input type="radio" name={name} checked={key === chosen} onChange={() => onPick(value)} />
            <span>{text}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
