import { expect, test } from 'vitest';
import { motionAt } from './own-motion.ts';

test('what is remembered at the steps of a course is what the motion says, and it is asked once', () => {
  let asked = 0;
  const own = (place: number) => {
    asked++;
    return { angle: Math.sin(7 * place), rate: 7 * Math.cos(7 * place) };
  };
  const steps = 4391;
  const places = Float64Array.from({ length: 3 * steps }, (_, i) => ((4 * i) % steps) / steps);
  for (let again = 0; again < 2; again++) {
    const { angle, rate } = motionAt(own, places, steps);
    expect(angle.every((y, i) => y === Math.sin(7 * places[i]!))).toBe(true);
    expect(rate.every((y, i) => y === 7 * Math.cos(7 * places[i]!))).toBe(true);
    expect(asked).toBe(steps);
  }
});

test('between the steps, at the end of the stride and in steps of another length it is asked anew', () => {
  const own = (place: number) => ({ angle: place ** 2, rate: 2 * place });
  motionAt(own, Float64Array.of(0, 0.25), 4);
  const places = Float64Array.of(0.25, 0.26, 0.999999, 1, Number.NaN);
  for (const steps of [4, 8, 100])
    expect(motionAt(own, places, steps).angle).toEqual(places.map((place) => place ** 2));
});
