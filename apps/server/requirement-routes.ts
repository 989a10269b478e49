import { editRequirements } from '@striderule/store';
import type { RequirementEdit, RequirementsRequest } from '@striderule/wire';
import type { Hono } from 'hono';
import { editRoutes } from './edit-routes.ts';

/** Requirements that ask something else. */
export const requirementRoutes = (folder: string): Hono =>
  editRoutes(folder, {
    read: requirementsOf,
    refusal: {
      code: 'server.requirement-request',
      what: 'the request does not say what is asked anew (`bound`, `joint`, `task`, `because`) by the id of each of its `requirements`, and on saving the `sha256` of what was shown',
    },
    edit: editRequirements,
  });

const isEdit = (edit: unknown): edit is RequirementEdit =>
  typeof edit === 'object' &&
  edit !== null &&
  Object.keys(edit).length > 0 &&
  Object.entries(edit).every(([key, value]) => {
    if (key === 'joint') return value === 'knee' || value === 'ankle';
    if (key === 'task') return value === null || typeof value === 'string';
    return (key === 'bound' || key === 'because') && typeof value === 'string';
  });

/** At least one requirement, each with something to change; undefined where the body is anything else. */
function requirementsOf(body: unknown): RequirementsRequest['requirements'] | undefined {
  const requirements = (body as Partial<RequirementsRequest> | null | undefined)?.requirements;
  if (typeof requirements !== 'object' || requirements === null || Array.isArray(requirements))
    return undefined;
  const edits = Object.values(requirements);
  return edits.length > 0 && edits.every(isEdit) ? requirements : undefined;
}
