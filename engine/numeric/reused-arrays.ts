/** Gives an array of so many numbers. Nothing is promised of what is in it: write every entry before any is read. */
export type TakeArray = (length: number) => Float64Array;

/** An array of its own for every call. */
export const newArray: TakeArray = (length) => new Float64Array(length);

/**
 * The same arrays over and over, for work that is done thousands of times and keeps nothing but a few numbers: the k-th call since
 * `again` gives the k-th array. What was made from them before `again` is overwritten from then on, and must have been read by then.
 */
export function reusedArrays(): { readonly take: TakeArray; readonly again: () => void } {
  const arrays: Float64Array[] = [];
  let next = 0;
  return {
    take(length) {
      const known = arrays[next];
      const array = known?.length === length ? known : new Float64Array(length);
      arrays[next++] = array;
      return array;
    },
    again() {
      next = 0;
    },
  };
}
