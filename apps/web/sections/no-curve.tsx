/** What to do where no task has a curve. */
export function NoCurve() {
  return (
    <p className="empty">
      No task of this study has a curve, so there is no rule to read. Add one to <code>tasks/</code>, or
      import strides of your own:{' '}
      <code>striderule demand import strides.csv --recipe recipe.yaml --id own-walk</code>.
    </p>
  );
}
