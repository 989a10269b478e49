import type { TerrainShape, TreadsShape } from './terrain.ts';
import type { Pace } from './walk-course.ts';

/** A walk that a study keeps, to be walked again after every change. SI; places count strides from the first contact on, from 1. */
export interface Scenario {
  readonly id: string;
  readonly title: string;
  /** m/s; of a leg that hangs, its stride's. */
  readonly speed: number;
  readonly strides: number;
  readonly control: 'clock' | 'study';
  readonly thigh: 'prescribed' | 'led';
  readonly ground: 'treadmill' | 'overground';
  /** A task: the leg hangs from a hip that stands still and moves as its stride does, over no ground. Thigh and ground say nothing then. */
  readonly hangs?: string;
  /** One stair, up or down, with the stride of a task: m from tread to tread, of a tread, and over which an edge is rounded. */
  readonly stairs?: {
    readonly task: string;
    readonly riser: number;
    readonly tread: number;
    readonly over: number;
  };
  /**
   * Walks, stands, walks, stands, sits down, rises, stands. Height of the hip on the seat, m, and thigh there, rad; s to sit down and to rise,
   * and seated; what the other leg takes of the weight on the way.
   */
  readonly chair?: {
    readonly hip: number;
    readonly thigh: number;
    readonly over: number;
    readonly sits: number;
    readonly share: number;
  };
  /** State of the study's controller in which it begins; left out: the one that the thigh leads. */
  readonly begins?: string;
  readonly seed?: number;
  readonly terrain?:
    | Exclude<TerrainShape, { readonly kind: 'slope' } | TreadsShape>
    | (Extract<TerrainShape, { readonly kind: 'slope' }> & {
        /** Whether the controller is told; false: it takes the ground for level. Left out: it goes by what it reads, where its file says so. */
        readonly told?: boolean;
      });
  /** Slows down over so many s to a stop there, stands, goes on over as many s. */
  readonly stop?: {
    readonly stride: number;
    readonly place: number;
    readonly over: number;
    readonly stands: number;
    /** Having stood, goes back by so many strides within so many s, and forth again, so many times. */
    readonly back?: { readonly by: number; readonly over: number; readonly times: number };
  };
  /** The study's controller takes its foot for lifted below this share of body weight, whatever its file says. */
  readonly leaves?: number;
  readonly cadence?: Pace;
  readonly fault?: { readonly name: string; readonly stride: number; readonly place: number };
}
