// What differs between two plans of one problem and another: so that a plan of thousands of lines can be followed, and
// stored, by the handful of things that one order changes.
import type { Plan } from './problem.ts'

/** Things that are gone, by id or key, and things that are new or other than they were. */
export interface ListDelta<Element> {
  gone: readonly string[]
  put: readonly Element[]
}

/** How one plan becomes another. */
export interface PlanDelta {
  /** By id. */
  brews: ListDelta<Plan['brews'][number]>
  transfers: ListDelta<Plan['transfers'][number]>
  fillRuns: ListDelta<Plan['fillRuns'][number]>
  /** By order line: a line that either list names has the deliveries of `put` and no others. */
  deliveries: ListDelta<Plan['deliveries'][number]>
  /** By batch, in the same way. */
  dumped: ListDelta<Plan['dumped'][number]>
  /** By order line. */
  unserved: ListDelta<Plan['unserved'][number]>
  late: ListDelta<NonNullable<Plan['late']>[number]>
  brokenPromises: ListDelta<NonNullable<Plan['brokenPromises']>[number]>
  /** Absent: as it was. */
  moved?: NonNullable<Plan['moved']>
  cost: Plan['cost']
}

/** What elements of lists are known by. */
export const byId = ({ id }: { id: string }) => id
export const byLine = ({ orderLineId }: { orderLineId: string }) => orderLineId
export const byBatch = ({ batchId }: { batchId: string }) => batchId

/** How `from` becomes `to`. Runs, transfers and dumps of a brew that comes or goes are listed with it. */
export function deltaBetween(from: Plan, to: Plan): PlanDelta {
  const brews = listDelta(from.brews, to.brews, byId, { plain: withoutUnfixed })
  // A brew that became a batch is gone; what is drawn from it is drawn from the batch now.
  const known = new Set(from.brews.map(byId))
  const cameOrWent = new Set([...brews.gone, ...brews.put.map(byId).filter((id) => !known.has(id))])
  const carried = (each: { batchId: string }) => cameOrWent.has(each.batchId)
  const moved = to.moved ?? []
  return {
    brews,
    transfers: listDelta(from.transfers, to.transfers, byId, { plain: withoutUnfixed, alsoIf: carried }),
    fillRuns: listDelta(from.fillRuns, to.fillRuns, byId, { plain: withoutUnfixed, alsoIf: carried }),
    deliveries: listDelta(from.deliveries, to.deliveries, byLine),
    dumped: listDelta(from.dumped, to.dumped, byBatch, { alsoIf: carried }),
    unserved: listDelta(from.unserved, to.unserved, byLine),
    late: listDelta(from.late ?? [], to.late ?? [], byLine),
    brokenPromises: listDelta(from.brokenPromises ?? [], to.brokenPromises ?? [], byLine),
    ...(isSameValue(from.moved ?? [], moved) ? {} : { moved }),
    cost: to.cost,
  }
}

/** The plan with the very parts of another one where they are the same, so that both are compared soon. */
export function withPartsOf(plan: Plan, other: Plan): Plan {
  return {
    ...plan,
    brews: partsOf(plan.brews, other.brews, byId),
    transfers: partsOf(plan.transfers, other.transfers, byId),
    fillRuns: partsOf(plan.fillRuns, other.fillRuns, byId),
    deliveries: partsOf(plan.deliveries, other.deliveries, byLine),
  }
}

function partsOf<Element>(list: Element[], others: readonly Element[], keyOf: (element: Element) => string): Element[] {
  if (list === others) return list
  const known = byKey(others, keyOf)
  return list.map((each) => known.get(keyOf(each))?.find((other) => isSameValue(each, other)) ?? each)
}

/** One delta after another, as one. */
export function joinedDeltas(first: PlanDelta, second: PlanDelta): PlanDelta {
  const moved = second.moved ?? first.moved
  return {
    brews: joined(first.brews, second.brews, byId),
    transfers: joined(first.transfers, second.transfers, byId),
    fillRuns: joined(first.fillRuns, second.fillRuns, byId),
    deliveries: joined(first.deliveries, second.deliveries, byLine),
    dumped: joined(first.dumped, second.dumped, byBatch),
    unserved: joined(first.unserved, second.unserved, byLine),
    late: joined(first.late, second.late, byLine),
    brokenPromises: joined(first.brokenPromises, second.brokenPromises, byLine),
    ...(moved ? { moved } : {}),
    cost: second.cost,
  }
}

/** The plan after a delta. */
export function withDelta(plan: Plan, delta: PlanDelta): Plan {
  return {
    brews: changed(plan.brews, delta.brews, byId),
    transfers: changed(plan.transfers, delta.transfers, byId),
    fillRuns: changed(plan.fillRuns, delta.fillRuns, byId),
    deliveries: changed(plan.deliveries, delta.deliveries, byLine),
    dumped: changed(plan.dumped, delta.dumped, byBatch),
    unserved: changed(plan.unserved, delta.unserved, byLine),
    late: changed(plan.late ?? [], delta.late, byLine),
    brokenPromises: changed(plan.brokenPromises ?? [], delta.brokenPromises, byLine),
    moved: delta.moved ?? plan.moved ?? [],
    cost: delta.cost,
  }
}

interface Comparing<Element> {
  /** How an element is stored: two that are stored alike are the same. Absent: as it is. */
  plain?: (element: Element) => Element
  /** Elements that are listed as put even where they are as they were. */
  alsoIf?: (element: Element) => boolean
}

/** So far ahead an element is looked for that another stands in place of. */
const AHEAD = 30

/**
 * Two lists without the keys whose elements they share, each the very same element in the same order. Plans that follow from each
 * other share most: those are not looked at one by one. What it does not see to be shared is left in both.
 */
export function unshared<Element>(
  from: readonly Element[],
  to: readonly Element[],
  keyOf: (element: Element) => string,
): { from: readonly Element[]; to: readonly Element[] } {
  const keys = new Set<string>()
  let [at, then] = [0, 0]
  while (at < from.length && then < to.length) {
    const [was, is] = [from[at], to[then]]
    if (was === is) {
      at++
      then++
      continue
    }
    const gone = stepsTo(from, at, is)
    const come = gone > 0 ? 0 : stepsTo(to, then, was)
    const [leave, enter] = gone > 0 ? [gone, 0] : come > 0 ? [0, come] : [1, 1]
    for (const end = at + leave; at < end; at++) addKey(keys, from[at], keyOf)
    for (const end = then + enter; then < end; then++) addKey(keys, to[then], keyOf)
  }
  for (; at < from.length; at++) addKey(keys, from[at], keyOf)
  for (; then < to.length; then++) addKey(keys, to[then], keyOf)
  if (keys.size === 0) return { from: [], to: [] }
  if (2 * keys.size > to.length) return { from, to }
  const isOther = (element: Element) => keys.has(keyOf(element))
  return { from: from.filter(isOther), to: to.filter(isOther) }
}

function addKey<Element>(keys: Set<string>, element: Element | undefined, keyOf: (element: Element) => string): void {
  if (element !== undefined) keys.add(keyOf(element))
}

/** How far after a place an element stands in a list; 0 where it is not near. */
function stepsTo<Element>(list: readonly Element[], at: number, element: Element | undefined): number {
  for (let steps = 1; steps <= AHEAD && at + steps < list.length; steps++)
    if (list[at + steps] === element) return steps
  return 0
}

/** What differs between two lists, by a key that several elements may share. */
export function listDelta<Element>(
  from: readonly Element[],
  to: readonly Element[],
  keyOf: (element: Element) => string,
  { plain = (element) => element, alsoIf = () => false }: Comparing<Element> = {},
): ListDelta<Element> {
  const different = unshared(from, to, keyOf)
  const before = byKey(different.from, keyOf)
  const after = byKey(different.to, keyOf)
  const isSame = (a: Element, b: Element | undefined) => a === b || (b !== undefined && isSameValue(plain(a), plain(b)))
  const put = new Set<string>()
  for (const [key, elements] of after) {
    const were = before.get(key) ?? []
    if (were.length !== elements.length || !elements.every((each, index) => isSame(each, were[index]))) put.add(key)
  }
  for (const element of to) if (alsoIf(element)) put.add(keyOf(element))
  return {
    gone: [...before.keys()].filter((key) => !after.has(key)),
    put: put.size === 0 ? [] : to.filter((element) => put.has(keyOf(element))).map(plain),
  }
}

function byKey<Element>(list: readonly Element[], keyOf: (element: Element) => string): Map<string, Element[]> {
  const found = new Map<string, Element[]>()
  for (const element of list) {
    const key = keyOf(element)
    const known = found.get(key)
    if (known) known.push(element)
    else found.set(key, [element])
  }
  return found
}

function joined<Element>(
  first: ListDelta<Element>,
  second: ListDelta<Element>,
  keyOf: (element: Element) => string,
): ListDelta<Element> {
  const later = new Set([...second.gone, ...second.put.map(keyOf)])
  const put = [...first.put.filter((each) => !later.has(keyOf(each))), ...second.put]
  const there = new Set(put.map(keyOf))
  return { gone: [...new Set([...first.gone, ...second.gone])].filter((key) => !there.has(key)), put }
}

function changed<Element>(
  list: readonly Element[],
  { gone, put }: ListDelta<Element>,
  keyOf: (element: Element) => string,
): Element[] {
  const other = new Set([...gone, ...put.map(keyOf)])
  return [...list.filter((each) => !other.has(keyOf(each))), ...put]
}

/** A decision that is not fixed says nothing of it. */
function withoutUnfixed<Decision extends { fixed?: boolean }>(decision: Decision): Decision {
  return decision.fixed === false ? { ...decision, fixed: undefined } : decision
}

/** Whether two values of a document are the same, whatever the order in which their keys were written. */
export function isSameValue(a: unknown, b: unknown): boolean {
  if (a === b) return true
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false
  if (Array.isArray(a) || Array.isArray(b))
    return (
      Array.isArray(a) && Array.isArray(b) && a.length === b.length && a.every((part, at) => isSameValue(part, b[at]))
    )
  // Thousands are compared with each other: no lists of their keys are made.
  let parts = 0
  for (const key in a) {
    const part: unknown = Reflect.get(a, key)
    if (part === undefined) continue
    if (!isSameValue(part, Reflect.get(b, key))) return false
    parts++
  }
  // One that is undefined is none.
  for (const key in b) if (Reflect.get(b, key) !== undefined) parts--
  return parts === 0
}
