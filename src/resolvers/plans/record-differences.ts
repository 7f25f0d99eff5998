// Where two states of a record differ, written so that people can read it: value by value, an order's lines by their numbers,
// packs by their names.

/** One value that differs. */
export interface RecordDifference {
  /** The way to it within the record, such as `line 2: quantity`. */
  what: string
  /** In words; null where there was or is none. */
  before: string | null
  now: string | null
}

type Fields = Readonly<Record<string, unknown>>
/** Names of packs by id. */
type Names = ReadonlyMap<string, string>

/** All values of a record that differ. */
export function recordDifferences(before: Fields, now: Fields, packs: Names): RecordDifference[] {
  return inFields([], before, now, packs)
}

/** Ids of the packs that the lines in a record name. */
export function packsIn(value: unknown): string[] {
  if (!isFields(value)) return []
  const own = typeof value.packId === 'string' ? [value.packId] : []
  return [...own, ...Object.values(value).flatMap((each) => (Array.isArray(each) ? each : [each]).flatMap(packsIn))]
}

function inFields(path: readonly string[], before: Fields, now: Fields, packs: Names): RecordDifference[] {
  const keys = [...new Set([...Object.keys(before), ...Object.keys(now)])]
  return keys.flatMap((key) => {
    const [was, is] = [before[key], now[key]]
    if (isFields(was) && isFields(is)) return inFields([...path, key], was, is, packs)
    const [wereThere, areThere] = [thingsOf(was), thingsOf(is)]
    if (wereThere && areThere) return inThings([...path, key], wereThere, areThere, packs)
    if (key === 'packId') return valueDiffers([...path, 'pack'], nameOf(was, packs), nameOf(is, packs))
    return valueDiffers([...path, key], wordsOf(was, packs), wordsOf(is, packs))
  })
}

/** Of things with ids, each beside itself; what came or went is listed whole. */
function inThings(
  path: readonly string[],
  before: ReadonlyMap<string, Fields>,
  now: ReadonlyMap<string, Fields>,
  packs: Names,
): RecordDifference[] {
  return [...new Set([...before.keys(), ...now.keys()])].flatMap((id) => {
    const [was, is] = [before.get(id), now.get(id)]
    const { lineNumber } = is ?? was ?? {}
    const at = lineNumber === undefined ? path : [...path.slice(0, -1), `line ${lineNumber}`]
    if (was && is) return inFields(at, was, is, packs)
    return [{ what: at.join(': '), before: wordsOf(was, packs), now: wordsOf(is, packs) }]
  })
}

function valueDiffers(path: readonly string[], before: string | null, now: string | null): RecordDifference[] {
  return before === now ? [] : [{ what: path.join(': '), before, now }]
}

/** A list of things that have ids, by id; undefined for anything else. */
function thingsOf(value: unknown): ReadonlyMap<string, Fields> | undefined {
  if (!Array.isArray(value)) return undefined
  const things = new Map<string, Fields>()
  for (const each of value) {
    if (!isFields(each) || typeof each.id !== 'string') return undefined
    things.set(each.id, each)
  }
  return things
}

/** A value in words; null where there is none. */
function wordsOf(value: unknown, packs: Names): string | null {
  if (value === undefined || value === null) return null
  if (Array.isArray(value)) return value.map((each) => wordsOf(each, packs) ?? 'nothing').join(', ') || 'none'
  if (!isFields(value)) return String(value)
  const { from, to, packId, quantity, serveOn } = value
  if (packId !== undefined && quantity !== undefined)
    return `${String(quantity)} of pack "${nameOf(packId, packs)}" for ${String(serveOn)}`
  if (from !== undefined && to !== undefined) return `${String(from)} to ${String(to)}`
  const parts = Object.entries(value).flatMap(([key, each]) => {
    const words = wordsOf(each, packs)
    return words === null ? [] : [`${key} ${words}`]
  })
  return parts.join(', ') || 'none'
}

function nameOf(packId: unknown, packs: Names): string | null {
  return typeof packId === 'string' ? (packs.get(packId) ?? packId) : null
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
