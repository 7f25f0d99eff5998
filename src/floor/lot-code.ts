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
  const text = `${base36(site, 1)}${base36(days, 3)}${base36(hash(`${batchId}|${packId}`), 4)}${base36(sequence, 1)}`
  return hyphenated(`${text}${checkCharacter(text)}`)
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
