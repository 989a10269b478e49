/** Goes under every table whose numbers could hurt a person: strength, heat, speed, back-driving. */
export const CAUTION =
  'A model’s word, not a measurement. Prove it on a tethered bench with an emergency stop before anybody stands on\n' +
  'the leg; then overhead harness, ethics board, licensed prosthetist, and the standards and local codes that apply.';
