/**
 * W that one of two parts gives the other on one bus: the lesser of what is returned and what is drawn,  min(Σ P⁺, Σ P⁻). Two parts that
 * draw, or two that return, give each other nothing. It is what rectifying each alone would lose.
 */
export const sharedPower = (one: number, other: number): number =>
  one * other < 0 ? Math.min(Math.abs(one), Math.abs(other)) : 0;
