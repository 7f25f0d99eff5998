// A better plan that was found in the background comes into force by itself.
import { z } from 'zod'
import { Conflict, NotFound } from '../../errors.ts'
import { jobKind } from '../../jobs/job-kind.ts'
import { Snapshots } from '../../records/snapshots.ts'
import { encodeGlobalId } from '../global-id.ts'
import { adoptPlan } from './adopt-plan.ts'
import type { PlannerServices } from './planner-services.ts'

/** Its key is the id of the draft. What has come in its way meanwhile leaves it a draft that is offered. */
export const ADOPT_BETTER = jobKind<object, PlannerServices>({
  name: 'ADOPT_BETTER',
  lane: 'QUICK',
  payload: z.strictObject({}),
  run: async ({ distributorId, key }, _, services) => {
    try {
      await adoptPlan({ ...services, distributorId, snapshots: new Snapshots() }, { id: encodeGlobalId('Plan', key) })
    } catch (error) {
      if (!(error instanceof Conflict || error instanceof NotFound)) throw error
    }
    return undefined
  },
})
