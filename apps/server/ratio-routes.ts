import type { DrivenJoint } from '@striderule/engine';
import { editRatios } from '@striderule/store';
import type { RatioRequest } from '@striderule/wire';
import type { Hono } from 'hono';
import { editRoutes } from './edit-routes.ts';

/** New ratios in the leg file. */
export const ratioRoutes = (folder: string): Hono =>
  editRoutes(folder, {
    read: ratiosOf,
    refusal: {
      code: 'server.ratio-request',
      what: 'the request does not name `ratios` above zero by `knee` or `ankle`, and on saving the `sha256` of what was shown',
    },
    edit: editRatios,
  });

const JOINTS: readonly DrivenJoint[] = ['knee', 'ankle'];

/** At least one joint, each with a number above zero; undefined where the body is anything else. */
function ratiosOf(body: unknown): RatioRequest['ratios'] | undefined {
  const ratios = (body as Partial<RatioRequest> | null | undefined)?.ratios;
  if (typeof ratios !== 'object' || ratios === null) return undefined;
  const entries = Object.entries(ratios);
  const sound = entries.every(
    ([joint, ratio]) => JOINTS.some((known) => known === joint) && Number.isFinite(ratio) && ratio > 0,
  );
  return sound && entries.length > 0 ? ratios : undefined;
}
