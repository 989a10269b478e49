/** LuGre bristle friction. F_c, F_s N; v_s m/s; σ0 N/m; σ1 N·s/m; σ2 N·s/m (or the rotational like). */
export interface LuGre {
  readonly coulomb: number;
  readonly breakaway: number;
  readonly stribeckSpeed: number;
  readonly bristleStiffness: number;
  readonly viscous: number;
}

/**
 * Steady sliding:  g = F_c + (F_s − F_c)·e^{−(v/v_s)²},  z = g/σ0,  F = g·sgn v + σ2·v.
 * Canudas de Wit, Olsson, Åström & Lischinsky, IEEE Trans. Automatic Control 40 (1995) 419–425 (FROM MEMORY).
 */
export function steadyFriction(f: LuGre, speed: number): { bristle: number; level: number; force: number } {
  const level = f.coulomb + (f.breakaway - f.coulomb) * Math.exp(-((speed / f.stribeckSpeed) ** 2));
  return { level, bristle: level / f.bristleStiffness, force: level * Math.sign(speed) + f.viscous * speed };
}
