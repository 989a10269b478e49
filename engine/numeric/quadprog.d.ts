/** Arrays count from 1: index 0 is not read. */
declare module 'quadprog' {
  interface Solved {
    readonly solution: readonly number[];
    readonly Lagrangian: readonly number[];
    readonly value: readonly number[];
    /** Empty where it was solved. */
    readonly message: string;
  }
  const quadprog: {
    solveQP(D: number[][], d: number[], A: number[][], b: number[], equal: number): Solved;
  };
  export default quadprog;
}
