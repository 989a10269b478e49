/**
 * First harmonic of a torque after a mesh that loses in proportion to it, both as torque ÷ angle: real and imaginary part.
 *
 *     τ = g·η_f where the motor drives (g·θ̇ < 0, g the torque that resists a hand),  τ = g/η_b where the hand drives the motor
 *     g = G·sin(ωt + φ), θ = A·sin ωt, φ from −π/2 to π/2:   τ ≈ c₁·g + c₂·(2/π)·(|Re G|·φ + j·(|Re G| + |Im G|·|φ|))
 *     c₁ = (1/η_b + η_f)/2,  c₂ = (1/η_b − η_f)/2
 *
 * A spring through such a mesh is a little stiffer and has the damping of its hysteresis. Derived; summed over a period in the test.
 */
export function meshTorque(
  real: number,
  imaginary: number,
  drivingEfficiency: number,
  backDrivenEfficiency: number,
): [number, number] {
  const mean = (1 / backDrivenEfficiency + drivingEfficiency) / 2;
  const loss = (1 / backDrivenEfficiency - drivingEfficiency) / 2;
  if (loss === 0) return [mean * real, mean * imaginary];
  const phase = real === 0 ? (Math.PI / 2) * Math.sign(imaginary) : Math.atan(imaginary / real);
  const size = Math.abs(real);
  return [
    mean * real + ((2 * loss) / Math.PI) * size * phase,
    mean * imaginary + ((2 * loss) / Math.PI) * (size + Math.abs(imaginary * phase)),
  ];
}
