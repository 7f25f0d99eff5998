// The code of a lot, short enough to write on a cask: site, day, batch and pack, sequence, and a check character.
import { addDays, dayNumber, type LocalDate } from '../planner/documents/index.ts'

/** The characters of ISO/IEC 7064 MOD 37,36, in the order of their values. */
const CHARACTERS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
/** Days are counted from here; three characters reach to the year 2147. */
const FIRST_DAY = dayNumber('2020-01-01')

/** The check character by ISO/IEC 7064 MOD 37,36 of characters 0–9 and A–Z. */
export function checkCharacter(text: string): string {
  let check = 36
  for (const each of text) {
    check = (check + checkValueOf(each)) % 36 || 36
    check = (check * 2) % 37
  }
  return CHARACTERS.charAt((37 - check) % 36)
}

/** Whether the last character is the check character of those before it; hyphens do not count. */
export function isChecked(code: string): boolean {
  const text = code.replaceAll('-', '').toUpperCase()
  if (!/^[0-9A-Z]{2,}$/.test(text)) return false
  return checkCharacter(text.slice(0, -1)) === text.slice(-1)
}

/** What a lot is: one fill of a batch and pack on a day at a site. */
export interface LotIdentity {
  /** Number of the site, 0 to 35. */
  site: number
  day: LocalDate
  batchId: string
  packId: string
  /** 0, unless another lot of the same site and day has the code already. */
  sequence: number
}

/** The lot's code, such as `01W3-7K2Q-0X`: the same whenever and wherever it is made. */
export function lotCode({ site, day, batchId, packId, sequence }: LotIdentity): string {
  const days = dayNumber(day) - FIRST_DAY
  const text = `${base36(site, 1)}${base36(days, 3)}${hashOf({ batchId, packId })}${base36(sequence, 1)}`
  return hyphenated(`${text}${checkCharacter(text)}`)
}

/** What is filled as one lot, but for its sequence. */
export type LotToBe = Omit<LotIdentity, 'sequence'>

/** The batch and pack of a lot. */
export type Filled = Pick<LotIdentity, 'batchId' | 'packId'>

/** Sequences that one character holds. */
const SEQUENCES = 36

/** How the codes of all lots of a site and day start. */
export function startOfCodes({ site, day }: Pick<LotIdentity, 'site' | 'day'>): string {
  return `${base36(site, 1)}${base36(dayNumber(day) - FIRST_DAY, 3)}-`
}

/** The codes that a lot can have, in the order in which they are given. */
function possibleCodes(lot: LotToBe): string[] {
  return Array.from({ length: SEQUENCES }, (_, sequence) => lotCode({ ...lot, sequence }))
}

/**
 * The code of a lot: the one that it has, else the first that no other has, or is to have: of `planned`, which is filled on the
 * same day. `taken` says whose the codes are that are given already. So a code is known as soon as its fill is planned, in
 * whatever order the fills of the day are said. Throws `RangeError` where 36 lots of a day have gone before it.
 */
export function chosenCode(lot: LotToBe, taken: ReadonlyMap<string, Filled>, planned: Iterable<Filled>): string {
  const codes = possibleCodes(lot)
  const given = new Map(codes.flatMap((code) => (taken.has(code) ? [[keyOf(taken.get(code)), code] as const] : [])))
  const own = given.get(keyOf(lot))
  if (own !== undefined) return own
  const namesakes = [...planned].filter((other) => hashOf(other) === hashOf(lot)).map(keyOf)
  const earlier = new Set(namesakes.filter((key) => key < keyOf(lot) && !given.has(key)))
  const code = codes.filter((each) => !taken.has(each))[earlier.size]
  if (code === undefined) throw new RangeError('no code is left for the lot')
  return code
}

function keyOf(filled: Filled | undefined): string {
  return filled ? `${filled.batchId}|${filled.packId}` : ''
}

/** What four characters of the code say of batch and pack. */
function hashOf(filled: Filled): string {
  return base36(hash(keyOf(filled)), 4)
}

/** A code as a person types it, in the form in which it is kept: capitals and hyphens; undefined where it has no such form. */
export function readLotCode(typed: string): string | undefined {
  const text = typed.replaceAll(/[\s-]/g, '').toUpperCase()
  return /^[0-9A-Z]{10}$/.test(text) ? hyphenated(text) : undefined
}

function hyphenated(text: string): string {
  return `${text.slice(0, 4)}-${text.slice(4, 8)}-${text.slice(8)}`
}

/** The day of a lot's code; undefined where it is none of ours. */
export function dayOfLotCode(code: string): LocalDate | undefined {
  if (!/^[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{2}$/.test(code) || !isChecked(code)) return undefined
  return addDays('2020-01-01', Number.parseInt(code.slice(1, 4), 36))
}

function base36(value: number, digits: number): string {
  const size = 36 ** digits
  return (((value % size) + size) % size).toString(36).toUpperCase().padStart(digits, '0')
}

function checkValueOf(character: string): number {
  const value = CHARACTERS.indexOf(character)
  if (value === -1) throw new Error(`${character} has no value in MOD 37,36`)
  return value
}

/** FNV-1a, 32 bits: spreads the ids of batch and pack over the four characters. */
function hash(text: string): number {
  let value = 0x811c9dc5
  for (let at = 0; at < text.length; at++) value = Math.imul(value ^ text.charCodeAt(at), 0x01000193) >>> 0
  return value
}
