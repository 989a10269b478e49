// What stands below the first screen of Drive, in a file of its own.
export { LegView } from '../leg/leg-view.tsx';
export { How } from '../sections/how.tsx';
export { Numbers } from '../sections/numbers.tsx';
export { Section } from '../sections/section.tsx';
export { BackDriving } from './back-driving.tsx';
export { Energy } from './energy.tsx';
export { Heat } from './heat.tsx';
export { MotorPlane } from './motor-plane.tsx';
export { PowerLoss } from './power-loss.tsx';
export { Scan } from './scan.tsx';
export { SideBySide } from './side-by-side.tsx';
export { Tolerances } from './tolerances.tsx';
export { Windows } from './windows.tsx';
