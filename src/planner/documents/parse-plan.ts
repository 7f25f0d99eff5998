// A plan document of unknown content becomes a Plan whose every reference leads to something of its problem, or a list
// of everything that is wrong with it. Whether the plan is valid and what it costs is the checker's business.
import type { Parsed } from './parse/faults.ts'
import { planOwnFaults, planReferenceFaults } from './parse/plan-faults.ts'
import { shapeFaults } from './parse/shape-faults.ts'
import { type Plan, type Problem, planShape } from './problem.ts'

/** Parses a plan document for a problem (section 1 of the planning rules). Answers the plan, or all its faults at once. */
export function parsePlan(document: unknown, problem: Problem): Parsed<'plan', Plan> {
  const parsed = planShape.safeParse(document)
  if (!parsed.success) return { ok: false, faults: shapeFaults(parsed.error.issues, document) }
  const faults = [...planOwnFaults(parsed.data), ...planReferenceFaults(parsed.data, problem)]
  return faults.length === 0 ? { ok: true, plan: parsed.data } : { ok: false, faults }
}
