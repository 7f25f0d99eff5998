// The kinds of facts as the schema names them.
import { FACT_KINDS, type FactKind } from '../../resolvers/floor/fact-view.ts'
import { builder } from '../builder.ts'

/** What each kind says, for the schema. */
const KIND_WORDS: Record<FactKind, string> = {
  BATCH_OPENING: 'A batch was there when the records began (set-up).',
  LOT_OPENING: 'A stock lot was there when the records began (set-up).',
  FLEET_OPENING: 'Clean containers were there when the records began (set-up).',
  BREWED: 'A brew was made.',
  READING: 'A gravity, temperature or pressure was read.',
  DRY_HOPPED: 'A batch was dry hopped.',
  CRASH_BEGUN: 'A crash was begun.',
  READY: 'A person said that a batch is ready.',
  TRANSFERRED: 'A batch was moved to a bright vessel.',
  PART_TRANSFERRED: 'A part of a batch was moved and is a batch of its own.',
  BLENDED: 'Batches were blended into a new one.',
  MOVED: 'A batch was moved to another fermenter.',
  DUMPED: 'Beer was poured away.',
  QUARANTINED: 'A batch was kept back.',
  RELEASED: 'A batch was released.',
  FILLED: 'Containers were filled.',
  LOT_QUARANTINED: 'A lot was kept back.',
  LOT_RELEASED: 'A lot was released.',
  LOT_DESTROYED: 'Containers of a lot were emptied away.',
  ISSUED: 'Containers left without an order.',
  DISPATCHED: 'Containers left for an order line.',
  DELIVERED: 'Containers arrived at an account.',
  REFUSED: 'Containers were refused at the door.',
  RECALLED: 'Containers that are on the road or at an account were called back.',
  RETURNED: 'Empties came back.',
  WASHED: 'Containers were washed.',
  BOUGHT: 'Containers were bought.',
  SCRAPPED: 'Empty containers were scrapped.',
  LOST: 'Containers are lost.',
  FOUND: 'Containers were found.',
  FOREIGN: "Another owner's containers came in.",
  VESSEL_OUT: 'A vessel went out of service.',
  VESSEL_BACK: 'A vessel is back in service.',
  VESSEL_CLEANED: 'A vessel was cleaned.',
  BATCH_COUNTED: 'What is in a vessel was measured.',
  LOT_COUNTED: 'A lot was counted.',
  FLEET_COUNTED: 'Clean containers were counted.',
  FILLING_ENDED: 'Filling was over for the day at a site.',
  ROUTE_ENDED: 'A route was closed for the day.',
  NOT_DONE: 'Planned work can not have happened as planned: it is due until someone says what happened.',
}

export const FactKindType = builder.enumType('FactKind', {
  description: 'What happened.',
  values: Object.fromEntries(FACT_KINDS.map((kind) => [kind, { description: KIND_WORDS[kind] }])),
})
