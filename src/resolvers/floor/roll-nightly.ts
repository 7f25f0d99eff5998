// After midnight the days that are over are rolled, whether anyone asks for something or not: promises that cannot be kept any more
// are heard of before the brewery opens.
import { z } from 'zod'
import { jobKind } from '../../jobs/job-kind.ts'
import { Snapshots } from '../../records/snapshots.ts'
import type { PlannerServices } from '../plans/planner-services.ts'
import { rollDays } from './roll-days.ts'

/** Done each night; where a request has rolled the day before, nothing is left to do. */
export const ROLL_DAYS = jobKind<object, PlannerServices>({
  name: 'ROLL_DAYS',
  lane: 'QUICK',
  payload: z.strictObject({}),
  daily: '00:05',
  run: async ({ distributorId }, _, services) => {
    await rollDays({ ...services, distributorId, snapshots: new Snapshots() })
    return undefined
  },
})
