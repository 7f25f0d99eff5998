// A kind of set-up thing in words, and as the API's fields and inputs name one: all follow from the kind.
import type { ThingKind } from '../../resolvers/thing-ref.ts'

/** The kind as people write it, such as `container type`. */
export function wordsOfKind(kind: ThingKind): string {
  return kind.replace(/(?<=.)[A-Z]/g, (letter) => ` ${letter}`).toLowerCase()
}

/** One thing of the kind in a sentence, such as `an account`. */
export function oneOfKind(kind: ThingKind): string {
  return `${/^[AEIOU]/.test(kind) ? 'an' : 'a'} ${wordsOfKind(kind)}`
}

/** The field or key that holds one thing of the kind, such as `containerType`. */
export function fieldOfKind(kind: ThingKind): string {
  return kind.charAt(0).toLowerCase() + kind.slice(1)
}
