import type { TerrainShape } from './terrain.ts';
import type { Pace } from './walk-course.ts';

/** A walk that a study keeps, to be walked again after every change. SI; places count strides from the first contact on, from 1. */
export interface Scenario {
  readonly id: string;
  readonly title: string;
  readonly speed: number;
  readonly strides: number;
  readonly control: 'clock' | 'study';
  readonly thigh: 'prescribed' | 'led';
  readonly ground: 'treadmill' | 'overground';
  readonly seed?: number;
  readonly terrain?: TerrainShape;
  /** Slows down over so many s to a stop there, stands, goes on over as many s. */
  readonly stop?: {
    readonly stride: number;
    readonly place: number;
    readonly over: number;
    readonly stands: number;
  };
  readonly cadence?: Pace;
  readonly fault?: { readonly name: string; readonly stride: number; readonly place: number };
}
