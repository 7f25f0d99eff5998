// All kinds of job, and the runner that each process has for them. It alone leads from the jobs to the use-cases.
import { type LogServices, THIN_LOG } from '../resolvers/changes/thin-log.ts'
import { ROLL_DAYS } from '../resolvers/floor/roll-nightly.ts'
import { ADOPT_BETTER } from '../resolvers/plans/adopt-better.ts'
import { FIND_BETTER } from '../resolvers/plans/better-plan.ts'
import { FIND_BOUND } from '../resolvers/plans/find-bound.ts'
import { PLAN_SCENARIOS } from '../resolvers/plans/plan-scenarios.ts'
import type { PlannerServices } from '../resolvers/plans/planner-services.ts'
import { PRUNE_PLANS } from '../resolvers/plans/prune-plans.ts'
import { SOLVE_DRAFT } from '../resolvers/plans/solve-draft.ts'
import { SEARCH_NEW_PLAN } from '../resolvers/promise/search-new-plan.ts'
import { SEND_WEBHOOKS, type WebhookServices } from '../resolvers/webhooks/send-webhooks.ts'
import { planWithBound } from '../solver/plan-with-bound.ts'
import { spareProcessors } from '../solver/spare-processors.ts'
import type { JobKind, JobServices } from './job-kind.ts'
import { JobRunner } from './runner.ts'

type KindServices = PlannerServices & LogServices & WebhookServices

/** A line for each kind. */
const KINDS: readonly JobKind<never, KindServices>[] = [
  SOLVE_DRAFT,
  PLAN_SCENARIOS,
  FIND_BETTER,
  ADOPT_BETTER,
  SEARCH_NEW_PLAN,
  FIND_BOUND,
  PRUNE_PLANS,
  ROLL_DAYS,
  THIN_LOG,
  SEND_WEBHOOKS,
]

export interface JobSettings {
  /** Plans made at once in this process, and a short one beside them, and the most searches of theirs; 0: it plans nothing. Absent: the processors less one. */
  planningThreads?: number
  /** Searches at once for one distributor, over all processes. 2 unless given. */
  planningPerDistributor?: number
  /** Days for which changes are kept. 400 unless given. */
  changeDays?: number
  /** Whether webhooks may be sent to addresses within a network. */
  webhookPrivateAddresses?: boolean
}

/** The jobs of a process. `plan` is for tests that want no threads. */
export function jobsOf(
  services: JobServices & Partial<KindServices>,
  { planningThreads, planningPerDistributor = 2, changeDays, webhookPrivateAddresses = false }: JobSettings = {},
): JobRunner<KindServices> {
  const planning = planningThreads ?? spareProcessors()
  const all: KindServices = {
    plan: (problem, effort, options) => planWithBound(problem, effort, { atOnce: planning, ...options }),
    webhookPrivateAddresses,
    ...(changeDays === undefined ? {} : { changeDays }),
    ...services,
  }
  return new JobRunner(KINDS, all, { planning, perDistributor: planningPerDistributor })
}
