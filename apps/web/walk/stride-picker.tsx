interface StridePickerProps {
  readonly count: number;
  /** The last of them is what stands of the stride in which the walk fell. */
  readonly fell: boolean;
  /** From 1. */
  readonly chosen: number;
  readonly onStride: (stride: number) => void;
}

/** Which of the strides is read; the others lie thin under it. */
export function StridePicker({ count, fell, chosen, onStride }: StridePickerProps) {
  return (
    <fieldset className="pick strides">
      <legend>Stride</legend>
      <div className="words">
        {Array.from({ length: count }, (_, k) => k + 1).map((stride) => (
          <label key={stride}>
            <input type="radio" name="stride" checked={stride === chosen} onChange={() => onStride(stride)} />
            <span>
              {stride}
              {fell && stride === count ? ' fell' : ''}
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
