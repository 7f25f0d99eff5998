// The door of the planner: a document of unknown content becomes a trusted Problem, or a list of everything that is
// wrong with it.
import { dayNumber } from '../calendar/days.ts'
import { factFaults } from './parse/fact-faults.ts'
import { type Fault, fault, type Parsed } from './parse/faults.ts'
import { planOwnFaults } from './parse/plan-faults.ts'
import { type Readable, readableParts, readableProblem } from './parse/readable.ts'
import { knownIds } from './parse/references.ts'
import { setupFaults } from './parse/setup-faults.ts'
import { shapeFaults } from './parse/shape-faults.ts'
import { type Problem, problemShape } from './problem.ts'

const FIRST_DAY = '1900-01-01'
const LAST_DAY = dayNumber('9999-12-31')

/**
 * Parses a problem document (section 1 of the planning rules). Answers the problem, or all its faults at once: those
 * of shape, and those of meaning in every part whose shape can be read.
 */
export function parseProblem(document: unknown): Parsed<'problem', Problem> {
  const parsed = problemShape.safeParse(document)
  if (parsed.success) {
    const faults = meaningFaults(readableProblem(parsed.data))
    return faults.length === 0 ? { ok: true, problem: parsed.data } : { ok: false, faults }
  }
  const ofShape = shapeFaults(parsed.error.issues, document)
  const illFormed = new Set(ofShape.map(({ path }) => path))
  const ofMeaning = meaningFaults(readableParts(document)).filter(({ path }) => !illFormed.has(path))
  return { ok: false, faults: [...ofShape, ...ofMeaning] }
}

function meaningFaults(problem: Readable): Fault[] {
  const faults: Fault[] = []
  const { today, horizonDays } = problem
  if (today !== undefined && today < FIRST_DAY)
    faults.push(fault('today', 'HORIZON_OUTSIDE_CALENDAR', `${today} is before ${FIRST_DAY}`))
  if (today !== undefined && horizonDays !== undefined && dayNumber(today) + horizonDays - 1 > LAST_DAY)
    faults.push(fault('horizonDays', 'HORIZON_OUTSIDE_CALENDAR', 'the horizon ends after the year 9999'))
  const known = knownIds(problem, faults)
  faults.push(...setupFaults(problem, known), ...factFaults(problem, known))
  // A baseline may name what is gone meanwhile (cancelled lines, emptied batches): only its own faults count (F1).
  if (problem.baseline) faults.push(...planOwnFaults(problem.baseline, 'baseline.'))
  return faults
}
