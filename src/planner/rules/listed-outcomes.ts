// F2 and E1: broken promises, late lines and unserved lines are all listed, and listed truly.
import type { OrderLine } from '../documents/problem.ts'
import type { Facts } from '../facts/facts.ts'
import { type Violation, violation } from '../facts/violation.ts'

interface Service {
  delivered: number
  /** Days after today; -Infinity where nothing is delivered. */
  lastServe: number
}

/** F2: `brokenPromises` lists exactly the promised lines served after their day or not wholly, with the day they get now. */
export function brokenPromises(facts: Facts): Violation[] {
  const found: Violation[] = []
  const listed = new Map<string, NonNullable<Facts['plan']['brokenPromises']>[number]>()
  for (const entry of facts.plan.brokenPromises ?? []) {
    if (listed.has(entry.orderLineId))
      found.push(violation('F2', `the promise of line "${entry.orderLineId}" is listed twice`, entry.orderLineId))
    listed.set(entry.orderLineId, entry)
  }
  const sayOf = (lineId: string, message: string) => found.push(violation('F2', `line "${lineId}" ${message}`, lineId))
  for (const line of facts.problem.orderLines) {
    const { delivered, lastServe } = serviceOf(facts, line)
    const whole = delivered >= line.quantity
    const broken = line.promisedOn !== undefined && (!whole || lastServe > facts.dayOf(line.promisedOn))
    const entry = listed.get(line.id)
    if (broken && !entry) sayOf(line.id, `was promised for ${line.promisedOn}; it is not in \`brokenPromises\``)
    if (!entry) continue
    if (!broken) sayOf(line.id, 'is in `brokenPromises`, and no promise of it is broken')
    if (entry.promisedOn !== line.promisedOn) sayOf(line.id, `was not promised for ${entry.promisedOn}`)
    const now = whole ? facts.dateOf(lastServe) : null
    if (entry.now !== now)
      sayOf(line.id, `is served ${now === null ? 'not wholly' : `on ${now}`}; \`now\` says ${entry.now}`)
  }
  return found
}

/** E1: each late line is in `late`, each line not wholly served in `unserved`, with a reason; and no others are. */
export function lateAndUnserved(facts: Facts): Violation[] {
  const found: Violation[] = []
  const unserved = listing(facts.plan.unserved, 'unserved', found)
  const late = listing(facts.plan.late ?? [], 'late', found)
  const sayOf = (lineId: string, message: string) => found.push(violation('E1', `line "${lineId}" ${message}`, lineId))
  for (const line of facts.problem.orderLines) {
    const { delivered, lastServe } = serviceOf(facts, line)
    if (delivered < line.quantity && !unserved.has(line.id))
      sayOf(line.id, 'is not wholly served and not in `unserved`')
    // A promised line is late after its promise (F2); a plan that lists it from its serve day on is right too.
    if (lastServe > facts.dayOf(line.promisedOn ?? line.serveOn) && !late.has(line.id))
      sayOf(line.id, 'is late and not in `late`')
    if (late.has(line.id) && lastServe <= facts.dayOf(line.serveOn) && !isAfterPromise(facts, line, lastServe))
      sayOf(line.id, 'is in `late`, and is not late')
  }
  return found
}

function isAfterPromise(facts: Facts, line: OrderLine, serve: number): boolean {
  return line.promisedOn !== undefined && serve > facts.dayOf(line.promisedOn)
}

function listing(
  entries: readonly { orderLineId: string; reasons: readonly unknown[] }[],
  name: string,
  found: Violation[],
): Set<string> {
  const lines = new Set<string>()
  for (const { orderLineId, reasons } of entries) {
    const say = (message: string) =>
      found.push(violation('E1', `\`${name}\` lists line "${orderLineId}" ${message}`, orderLineId))
    if (reasons.length === 0) say('without a reason')
    if (lines.has(orderLineId)) say('twice')
    lines.add(orderLineId)
  }
  return lines
}

function serviceOf(facts: Facts, line: OrderLine): Service {
  const service = { delivered: 0, lastServe: -Infinity }
  for (const { quantity, serve } of facts.deliveriesOf.get(line.id) ?? []) {
    service.delivered += quantity
    if (serve > service.lastServe) service.lastServe = serve
  }
  return service
}
