// Cautions that more than one metric wears.

export const STRENGTH =
  'A prediction: prove it on a tethered bench with an emergency stop before anybody stands on the joint; standards, local codes, the ethics board and a licensed prosthetist decide.';
export const COLLAPSE =
  'A joint that gravity moves can collapse when power is cut in stance: treat easy back-driving as a hazard until the loss of power has been rehearsed.';
export const STIFF_BUS =
  'The bus is taken stiff: its sag under load lowers the limit and is not in this number; it is in `envelopeMargin`.';
