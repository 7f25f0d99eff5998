// What is wrong with a document that was sent, element by element, so that all of it is listed at once.
import { AGGREGATES, BASICS } from './namespaces.ts'
import { isCalled, pathOf, type XmlElement } from './read-xml.ts'

/** The codes of faults; those of the catalogue (src/ubl-codes.ts, and the planner's FAULT_ACTIONS). */
export type UblFaultCode =
  | 'MISSING_VALUE'
  | 'BAD_LENGTH'
  | 'NOT_WHOLE'
  | 'NO_SUCH_DATE'
  | 'SPAN_REVERSED'
  | 'UNKNOWN_CHOICE'
  | 'UNIT_NOT_SERVED'
  | 'WISH_NOT_SERVED'

/** One thing that is wrong. `path` says where, as XPath writes it: `Order/cac:OrderLine[2]/cac:LineItem/cbc:Quantity`. */
export interface UblFault {
  path: string
  code: UblFaultCode
  message: string
}

/** Most that is listed at once: who sends more of it than that looks at the first and sends again. */
export const MOST_FAULTS = 100

/** Looks elements up, and notes what is wrong with them. */
export class ElementReader {
  readonly faults: UblFault[] = []

  note(path: string, code: UblFaultCode, message: string): void {
    if (this.faults.length < MOST_FAULTS) this.faults.push({ path, code, message })
  }

  /** The one element of that kind; what there may not be several of is noted. Names have the prefix `cac:` or `cbc:`. */
  one(parent: XmlElement | undefined, name: string): XmlElement | undefined {
    const [first, second] = all(parent, name)
    if (second) this.note(pathOf(second), 'BAD_LENGTH', 'only one can be read here')
    return first
  }

  /** The element at the end of a way of names, each there at most once. */
  at(parent: XmlElement | undefined, ...names: readonly string[]): XmlElement | undefined {
    return names.reduce((element, name) => this.one(element, name), parent)
  }

  /** The text at the end of a way; undefined where there is none. */
  text(parent: XmlElement | undefined, ...names: readonly string[]): string | undefined {
    return this.at(parent, ...names)?.text || undefined
  }

  /** The same, where there must be one: '' is answered, and noted, where there is none. `what` says what it is for. */
  neededText(parent: XmlElement, names: readonly string[], what: string): string {
    const text = this.text(parent, ...names)
    if (text === undefined) this.note(`${pathOf(parent)}/${names.join('/')}`, 'MISSING_VALUE', `${what} is missing`)
    return text ?? ''
  }
}

/** All elements of that name, with the prefix `cac:` or `cbc:`, directly within another. */
export function all(parent: XmlElement | undefined, name: string): readonly XmlElement[] {
  const namespace = name.startsWith('cac:') ? AGGREGATES : BASICS
  const local = name.slice('cac:'.length)
  return parent?.children.filter((each) => isCalled(each, namespace, local)) ?? []
}
