// What alone would serve a line on time, in words.
import type { Reason, ReliefCode } from '../planner/documents/index.ts'
import { counted, type Naming, type SentenceParts, sentencePartsOf } from './sentence-parts.ts'

interface Helped extends SentenceParts {
  amount: number
  by: string
}

const WORDS: Readonly<Record<ReliefCode, (it: Helped) => string>> = {
  FILLER_MINUTES: (it) => `${counted(it.amount, 'more filler minute')} on ${it.by} (filler ${it.name})`,
  CLEAN_CONTAINERS: (it) =>
    `${counted(it.amount, 'more clean container')} of type ${it.part} by ${it.by} (site ${it.name})`,
  ROUTE_LITRES: (it) =>
    `room for ${counted(it.amount, 'more litre')} on route ${it.name} on the days that it runs up to ${it.by}`,
  STORE_LITRES: (it) => `room for ${counted(it.amount, 'more litre')} in the ${it.part} store of site ${it.name}`,
  CUT_OFF_LATER: (it) => `the cut-off of route ${it.name} ${counted(it.amount, 'minute')} later`,
  SPLIT_ALLOWED: () => 'permission to bring it in two deliveries',
  SERVE_DAYS_LATER: (it) => `to serve it ${counted(it.amount, 'day')} later, on ${it.by}`,
  FEWER_CONTAINERS: (it) => `to order ${counted(it.amount, 'container')} fewer, ${it.value('remaining')} in all`,
  BREWS_PER_DAY: (it) => `${counted(it.amount, 'more brew')} a day at site ${it.name}`,
  TRANSFERS_PER_DAY: (it) => `${counted(it.amount, 'more transfer')} a day at site ${it.name}`,
  BATCH_READY_EARLIER: (it) => `batch ${it.name} ready ${counted(it.amount, 'day')} earlier, on ${it.by}`,
  BATCH_RELEASED: (it) => `batch ${it.name} released from quarantine, if it proves sound`,
  VESSEL_FREE: (it) => `one more vessel like ${it.name}, free by ${it.by}`,
}

/** The relief of a reason in a sentence; '' where it has none. */
export function reliefInWords(reason: Reason, naming: Naming): string {
  const { relief } = reason
  if (!relief) return ''
  const { amount, by } = relief
  const words = WORDS[relief.what]({ ...sentencePartsOf(reason, naming), amount, by: by ? naming.day(by) : 'any day' })
  const helps = relief.what === 'SERVE_DAYS_LATER' ? 'What alone would do' : 'What alone would serve it on time'
  return `${helps}: ${words}; no smaller change would do.`
}
