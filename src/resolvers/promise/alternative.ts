// An alternative to an answer: other beer, another day or another quantity that can be had, with the offer that orders it.
import type { LocalDate } from '../../planner/documents/index.ts'
import type { NameOfMention } from '../../words/mentions.ts'
import type { AskedLine } from './asked-line.ts'
import type { Offered } from './offer.ts'
import type { AlternativeKind, NEW_PLAN } from './promise-question.ts'

/** What else could be had. */
export interface Alternative extends Pick<Offered, 'lines'> {
  kind: AlternativeKind | typeof NEW_PLAN
  /** What it is, in plain words. */
  message: string
  /** The lines of the question, in their order, each with what it gets and what it does not. */
  asked: AskedLine[]
  /** The day by which all that it gives is served. */
  serveOn: LocalDate
  offerToken: string
  /** All of it in one line that can be read out. */
  summary: (nameOf: NameOfMention) => Promise<string>
}
