// The catalogue of words: what each code of a reason says, in whole sentences.
import type { Reason, ReasonCode } from '../planner/documents/index.ts'
import { capital, type Naming, type SentenceParts, sentencePartsOf } from './sentence-parts.ts'

const WORDS: Readonly<Record<ReasonCode, (it: SentenceParts) => string>> = {
  DAYS_FROZEN: () => 'The plan is frozen on the days on which this would have to be filled.',
  PROMISE_NOT_FORWARD: () =>
    'Within the frozen days a promised line is not brought forward, and no later day is left by its promise.',
  NOT_READY_IN_TIME: (it) =>
    `${capital(it.named('beerId', 'the beer'))} is not ready in time: fermenting, resting, dry hopping and the cold crash last until after the last day on which it could be filled.`,
  BEER_QUARANTINED: (it) => `${capital(it.named('beerId', 'the beer'))} at hand is quarantined.`,
  NOT_FIT_FOR_PRIMING: (it) =>
    `The beer at hand is too old or not fit for priming; ${it.named('packId', 'a primed cask')} needs live yeast.`,
  NO_BREW_LEFT: () => 'The brewhouse has no brew left on the days on which this beer would have to be brewed.',
  NO_TRANSFER_LEFT: () =>
    'The site starts no more transfers on the days on which this beer would have to be moved to a bright vessel.',
  NO_VESSEL_FREE: (it) =>
    `No vessel is free in time for a brew of ${it.named('beerId', 'this beer')}; the beer at hand goes to other orders.`,
  NO_STORE_ROOM: () => 'The store has no room for the containers until they can leave.',
  NO_ROUTE_ROOM: () => "The route's load is full on the days on which this must leave.",
  AFTER_CUT_OFF: () => 'The order comes after the cut-off of every route day that would bring it in time.',
  NO_CLEAN_CONTAINERS: (it) =>
    `There are not enough clean containers of ${it.named('containerTypeId', 'this type')} in time.`,
  NO_MINUTES_TO_WASH: () =>
    'Washing the filler between groups of beers leaves too few minutes on the days on which this must be filled.',
  NO_FILLER_MINUTES: () => 'The filler has no minutes left on the days on which this must be filled.',
  ON_NO_ROUTE: (it) => `${capital(it.named('accountId', 'the account'))} is on no route.`,
  NO_ROUTE_IN_TIME: (it) =>
    `No route of ${it.named('accountId', 'the account')} runs in time to arrive and settle before the serve day.`,
  NO_DAY_TO_FILL: (it) =>
    `No day is left on which ${it.named('packId', 'this')} could be filled: conditioning, the journey and settling take longer than there is time, the site fills on none of the days, or the beer would be past its best.`,
  STOCK_IS_SHORT: (it) => `The stock of ${it.named('packId', 'this')} that other orders leave is not enough.`,
  NO_FILLER_FILLS_IT: (it) =>
    `No filler of the sites that supply it fills containers of ${it.named('containerTypeId', 'this type')}.`,
  BEER_SOLD_OUT: (it) =>
    `No more of ${it.named('beerId', 'this beer')} can be brewed in time, and what other orders leave of it is not enough.`,
  ASKS_TOO_MUCH: () => 'It asks for more than vessels, fillers and routes of these sites ever give in one delivery.',
  NO_DAYS_ON_SALE: (it) =>
    `No fill would leave ${it.named('packId', 'it')} enough days on sale before its best before.`,
  DAYS_DO_NOT_MEET: (it) =>
    `The days on which ${it.named('packId', 'this')} can be brewed, drawn, filled and sent out do not fit together in time.`,
  COSTS_MORE: () =>
    'It could be served on time, but that would cost more than it saves: for so few litres a new brew or set-up does not pay, or other orders would lose more.',

  RELIEF_FOUND: () => '',
  NO_RELIEF_FOUND: () => 'No single change was found that alone would serve it on time.',
  NO_RELIEF_IN_TRIES: () => 'No single change that alone would serve it on time was found in the tries that were made.',
  RELIEFS_NOT_SOUGHT: () => 'No single relief was looked for: the tries and the time for them went to other lines.',

  VESSEL_GONE: (it) => `Vessel ${it.name} is no longer there.`,
  BEER_GONE: (it) => `Beer ${it.name} is no longer brewed.`,
  PACK_GONE: (it) => `Pack ${it.name} is no longer filled.`,
  VESSEL_NOT_ALLOWED: (it) => `Beer ${it.named('beerId', '?')} may not be brewed into vessel ${it.name}.`,
  VOLUME_OUT_OF_RANGE: (it) =>
    `Vessel ${it.name} takes ${it.value('least')} to ${it.value('most')} L, and ${it.named('brewId', 'the brew')} is ${it.value('litres')} L.`,
  SITE_DOES_NOT_BREW: (it) => `Site ${it.name} does not brew on ${it.from}.`,
  SITE_DOES_NOT_FILL: (it) => `Site ${it.name} does not fill on ${it.from}.`,
  SITE_DOES_NOT_MOVE: (it) => `Site ${it.name} moves no beer on ${it.from}.`,
  BREWS_TAKEN: (it) => `Site ${it.name} makes at most ${it.value('most')} brews a day, and others take up ${it.from}.`,
  TRANSFERS_TAKEN: (it) =>
    `Site ${it.name} can start no more transfers on ${it.from}: its limit is ${it.value('most')} a day.`,
  FILLER_CANNOT_FILL: (it) => `Filler ${it.name} no longer fills containers of this type.`,
  FILLER_NOT_WASHED: (it) =>
    `Filler ${it.name} has no minutes left on ${it.from} to be washed for another group of beers.`,
  FILLER_BUSY: (it) =>
    `Filler ${it.name} has ${it.value('spare')} minutes to spare on ${it.from}, and this takes ${it.value('work')} and a set-up.`,
  BATCH_TOO_SMALL: (it) =>
    `${it.name} has too little beer for ${it.value('quantity')} of pack ${it.named('packId', '?')}.`,
  SOURCE_LOST: (it) => `The beer was to come from ${it.name}, which cannot be as it was.`,
  NOT_A_BRIGHT_VESSEL: (it) => `${it.name} is no longer a bright vessel of this site.`,
  MOVED_ALREADY: (it) => `${it.name} stands in a bright vessel already, and moves once only.`,
  TOO_LITTLE_TO_MOVE: (it) =>
    `${it.name} has ${it.value('left')} L left to move, and ${it.value('wanted')} L were to be moved.`,
  CONTAINERS_SHORT: (it) => `Clean containers of type ${it.part} are short at site ${it.name} by ${it.from}.`,
  STORE_FULL: (it) => `The ${it.part} store of site ${it.name} has no room for it on ${it.from}.`,
  BATCH_QUARANTINED: (it) => `${it.name} is quarantined: it may be neither drawn nor moved.`,
  NOT_READY: (it) => `${it.name} is not ready before ${it.from}.`,
  UNFIT_FOR_PRIMING: (it) => `${it.name} is no longer fit for priming.`,
  PRIMING_WINDOW_OVER: (it) => `${it.name} can be primed until ${it.from} and no longer.`,
  IN_BRIGHT_VESSEL: (it) => `${it.name} stands in a bright vessel, and this pack is drawn from the fermenter.`,
  NOT_MOVED: (it) => `${it.name} is no longer moved to a bright vessel.`,
  MUST_BE_EMPTY: (it) => `${it.name} must be out of its vessel by ${it.from}.`,
  VESSEL_OUT_OF_SERVICE: (it) => `Vessel ${it.name} is out of service from ${it.from} to ${it.to}.`,
  VESSEL_NOT_YET_THERE: (it) => `Vessel ${it.name} cannot be used before ${it.from}.`,
  VESSEL_TAKEN: (it) => `Other beer stands in vessel ${it.name} on ${it.from}.`,
  CHEAPER_OTHERWISE: () => 'It could have stayed, but as it is now the plan costs less.',
  CHEAPER_WITHOUT: () => 'It could have stayed, but the plan costs less without it.',

  AS_RECORDED: (it) => it.value('words'),
}

/** What binds, in whole sentences; '' where the reason says a relief and nothing else. */
export function causeInWords(reason: Reason, naming: Naming): string {
  return WORDS[reason.code](sentencePartsOf(reason, naming))
}
