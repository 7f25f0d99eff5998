// Every refusal that the program makes on purpose, by its stable code, which is never renamed: its kind, what it means and what the caller can do.
import { CELLAR_REFUSALS } from './cellar-codes.ts'
import { DOCUMENT_REFUSALS } from './document-codes.ts'
import { FEED_REFUSALS } from './feed-codes.ts'
import { KEY_REFUSALS } from './key-codes.ts'
import { SIZE_REFUSALS } from './size-codes.ts'
import { STREAM_REFUSALS } from './stream-codes.ts'
import { UBL_REFUSALS } from './ubl-codes.ts'

/** The kinds of refusal. */
export const ERROR_KINDS = [
  'INVALID_INPUT',
  'UNAUTHENTICATED',
  'FORBIDDEN',
  'NOT_FOUND',
  'CONFLICT',
  'NOT_POSSIBLE',
  'BUSY',
  'FAULT',
] as const

export type ErrorKind = (typeof ERROR_KINDS)[number]

/** Refusals that are not of a document's shape (those are the planner's FAULT_ACTIONS). */
export const REFUSALS = {
  // ---- input
  SERVE_DAY_PAST: ['INVALID_INPUT', 'The serve day is over.', 'Ask for today or a later day.'],
  SERVE_DAY_BEYOND_HORIZON: [
    'INVALID_INPUT',
    'The serve day lies after the last day that plans reach.',
    'Ask for an earlier day, or let the distributor plan further ahead.',
  ],
  MORE_THAN_VESSEL_HOLDS: [
    'INVALID_INPUT',
    'The vessel is too small for that much beer.',
    'Give the litres that can be drawn now, or the vessel that the batch stands in.',
  ],
  BREWED_AFTER_READY: [
    'INVALID_INPUT',
    'The batch would be ready before it was brewed.',
    'Correct the brew day, or the instant from which the batch is ready.',
  ],
  BEFORE_BREWED: ['INVALID_INPUT', 'The day is before the brew day.', 'Correct that day, or the brew day.'],
  DAY_OUT_OF_REACH: [
    'INVALID_INPUT',
    'No beer that stands in a vessel has a day so far away.',
    'Check the year: facts are at most three years old, and beer is ready within 400 days.',
  ],
  BATCH_OF_OTHER_BEER: ['INVALID_INPUT', 'The batch is of another beer than the pack.', 'Name a batch of that beer.'],
  ACCOUNT_WITHOUT_ROUTE: ['INVALID_INPUT', 'No route serves the account.', 'Give the account a route first.'],
  NOT_PLANNED: [
    'INVALID_INPUT',
    'The plan in force has no such decision.',
    'Read the plan in force anew, or say the fact without naming a decision.',
  ],
  NOT_BREWED: ['INVALID_INPUT', 'The beer has not been said to be brewed.', 'Record the brew first.'],
  WRONG_VESSEL_KIND: ['INVALID_INPUT', 'The vessel is of the wrong kind.', 'Brews go into fermenters (V6).'],
  SAME_VESSEL: ['INVALID_INPUT', 'The beer is in that vessel already.', 'Name the vessel that it went into.'],
  OTHER_SITE: ['INVALID_INPUT', 'The things are at different sites.', 'Name things of one site.'],
  OTHER_PACK: ['INVALID_INPUT', 'The lot is of another pack than the line.', 'Name a lot of that pack.'],
  MORE_THAN_ORDERED: [
    'INVALID_INPUT',
    'More than the line wants.',
    'Raise the line first, or say the rest with another line, or as issued without an order.',
  ],
  MORE_THAN_OUT: [
    'INVALID_INPUT',
    'More is called back than is on the road and at the account.',
    'Ask for the recall list of the lot: it says how many are where. What stands at the site is quarantined or destroyed.',
  ],
  MORE_THAN_RETURNED: ['INVALID_INPUT', 'More are unfit than came back.', 'Count those that came back and are unfit.'],
  BEFORE_OPENING: [
    'INVALID_INPUT',
    'The day is before the records of the thing begin.',
    'Say facts from the day on which its opening was entered.',
  ],
  DAY_NOT_OVER: ['INVALID_INPUT', 'The day is not over at every site.', 'Close a period once its last day is over.'],
  PERIOD_CLOSED: [
    'INVALID_INPUT',
    'The period is closed already, and a closed one is not opened again.',
    'Give a later day. What is corrected of closed days is booked on the first open one.',
  ],
  WRONG_CHECK_CHARACTER: [
    'INVALID_INPUT',
    'The last character of the lot code is not its check character.',
    'Read the code again: a character was misread, or two were exchanged.',
  ],
  SAID_BY_FACTS: [
    'INVALID_INPUT',
    'Facts say it since the first one about the thing: set-up entered its opening alone.',
    'Record the fact that the message names, or correct the one that is wrong.',
  ],
  NO_CORRECTION_OF_CORRECTION: [
    'INVALID_INPUT',
    'The fact is a correction itself.',
    'Name the fact that it corrects: the newest correction counts.',
  ],
  RETIRED: ['INVALID_INPUT', 'The thing was retired.', 'Name one that is in use.'],
  NOTHING_TO_CHANGE: ['INVALID_INPUT', 'The input names no change.', 'Give at least one field a new value.'],
  ROUTE_NOT_OF_ACCOUNT: [
    'INVALID_INPUT',
    'The route does not serve the account.',
    'Add the route to the `routes` of the account first, or leave the account out.',
  ],
  DUPLICATE_ENTRY: ['INVALID_INPUT', 'The list names one thing twice.', 'Name each thing once.'],
  NOT_BOTH: ['INVALID_INPUT', 'Two values were given of which only one can hold.', 'Give one of the two.'],
  EMPTY_LIST: ['INVALID_INPUT', 'The list is empty.', 'Give at least one entry.'],
  UNKNOWN_SCOPE: ['INVALID_INPUT', 'There is no such scope.', 'Use scopes that the API lists.'],
  BAD_TEXT: ['INVALID_INPUT', 'The text has characters that cannot be kept.', 'Remove control characters.'],
  BAD_REQUEST: [
    'INVALID_INPUT',
    'The request is none that GraphQL can be asked with.',
    'Send a POST with the JSON object {"query": "…", "variables": {…}}.',
  ],
  REQUEST_TOO_LARGE: ['INVALID_INPUT', 'The body of the request is too long.', 'Send it in parts.'],
  REQUEST_TOO_SLOW: ['INVALID_INPUT', 'The request did not arrive whole in time.', 'Send it again.'],
  HEADERS_TOO_LARGE: [
    'INVALID_INPUT',
    'The address and the headers of the request are too long.',
    'Send a long query as a POST, and no header that is not needed.',
  ],
  WRONG_METHOD: [
    'INVALID_INPUT',
    'The address is not asked with this method.',
    'Use one that the header `allow` names: a query is sent by POST or GET, a mutation by POST, a document is read by GET.',
  ],
  WRONG_CONTENT_TYPE: [
    'INVALID_INPUT',
    'The body of the request has another content type than application/json.',
    'Send JSON, and say so in content-type.',
  ],
  WRONG_ANSWER_TYPE: [
    'INVALID_INPUT',
    'Answers come as application/graphql-response+json or application/json only.',
    'Accept one of the two; text/event-stream for subscriptions.',
  ],
  UNEXPECTED: [
    'FAULT',
    'Something went wrong on our side. Nothing was written by the field that failed.',
    'Try again; if it stays, report the id.',
  ],
  NO_SUCH_ADDRESS: ['NOT_FOUND', 'Nothing answers at this address.', 'Send queries to /graphql.'],
  BAD_QUERY: ['INVALID_INPUT', 'The query does not fit the schema.', 'Compare it with the schema.'],
  BAD_ID: ['INVALID_INPUT', 'The text is no id.', 'Use an id as the API gave it, or the external reference.'],
  BAD_ARGUMENT: ['INVALID_INPUT', 'An argument of the query is not right.', 'Compare it with its description.'],
  QUERY_TOO_DEEP: ['INVALID_INPUT', 'The query is nested too deeply.', 'Ask for fewer levels at once.'],
  QUERY_TOO_LARGE: ['INVALID_INPUT', 'The query asks for too many fields.', 'Split it into several queries.'],
  QUERY_TOO_COSTLY: [
    'INVALID_INPUT',
    'The query may fetch too much.',
    'Ask for shorter pages (first, last), fewer fields in lists, or fewer lines, packs or days at once.',
  ],
  SCOPE_NOT_YOURS: [
    'INVALID_INPUT',
    'A key can give only scopes that it has.',
    'Leave the scope out, or use a key that has it.',
  ],
  OFFER_ALTERED: [
    'INVALID_INPUT',
    'The token is none that was given to you, or it was altered.',
    'Send the token exactly as the answer had it, with a key of the same distributor; or ask for a promise again.',
  ],
  OFFER_EXPIRED: ['INVALID_INPUT', 'The offer is too old.', 'Ask for a promise again and use its token.'],
  OFFER_OF_OTHER_KIND: [
    'INVALID_INPUT',
    'The offer is taken up by another mutation.',
    'Take up an offer of a new plan with reserveWithNewPlan, every other offer with reserveBeer or placeOrder.',
  ],
  BELOW_DELIVERED: [
    'INVALID_INPUT',
    'The quantity is below what has been delivered.',
    'Ask for at least what has been delivered.',
  ],
  REJECTED_BY_RECORDS: [
    'INVALID_INPUT',
    'The records refuse the value; it would break a rule that always holds.',
    'Compare the input with the limits in its description.',
  ],
  ...FEED_REFUSALS,
  ...KEY_REFUSALS,
  ...SIZE_REFUSALS,
  ...STREAM_REFUSALS,
  ...UBL_REFUSALS,
  ...DOCUMENT_REFUSALS,
  ...CELLAR_REFUSALS,
  // ---- things
  NO_DOCUMENT: ['NOT_FOUND', 'No plan is in force.', 'Draft a plan and adopt it first.'],
  NO_SUCH_THING: ['NOT_FOUND', 'There is no such thing.', 'Check the id or the external reference.'],
  // ---- conflicts
  EXTERNAL_REF_TAKEN: [
    'CONFLICT',
    'Another thing of the kind has this external reference.',
    'Choose another reference, or change the thing that has it.',
  ],
  CODE_TAKEN: ['CONFLICT', 'Another thing of the kind has this code.', 'Choose another code.'],
  REFERENCE_USED: [
    'CONFLICT',
    'Another fact was recorded with this reference.',
    'Say it with a reference of its own, or correct the fact that has this one.',
  ],
  IN_USE: ['CONFLICT', 'Something that is still wanted depends on it.', 'Change or close what depends on it first.'],
  REVISION_MOVED: [
    'CONFLICT',
    'The records have changed since, in a way that matters here.',
    'Draft a plan from the records as they are now, and adopt that.',
  ],
  DOCUMENT_MOVED: [
    'CONFLICT',
    'The records are at another revision.',
    'Read both documents again: they are of one revision where their header `x-revision` is the same.',
  ],
  PROMISES_BROKEN: [
    'CONFLICT',
    'The draft breaks promises that the plan in force keeps.',
    'Look at each line; draft again, or adopt it with `acceptBrokenPromises`, naming the lines or all.',
  ],
  STATUS_FORBIDS: [
    'CONFLICT',
    'The thing has come too far, or not far enough, for this.',
    'Look at its status and do what that allows.',
  ],
  ALREADY_DISPATCHED: [
    'CONFLICT',
    'Some of it has left the site already.',
    'Lower the quantity to what has left, or add a line for what is wanted otherwise.',
  ],
  NO_PLAN_IN_FORCE: [
    'CONFLICT',
    'No plan is in force, so nothing can be promised.',
    'Draft a plan and adopt it first, or place the order as a wish (AS_DEMAND).',
  ],
  RESERVATION_EXPIRED: [
    'CONFLICT',
    'The time of the reservation ran out, and its beer is back on the market.',
    'Reserve again or place the order anew; the message says whether it could be had just now.',
  ],
  RESERVATION_ENDED: [
    'CONFLICT',
    'The reservation was confirmed or released already.',
    'Look at the reservation: where it was confirmed, its order is there; where it was released, reserve again.',
  ],
  ORDER_CHANGED: [
    'CONFLICT',
    'Somebody else has changed the order since you read it.',
    'Look at the changes, read the order again, and repeat what is still wanted with the new revision.',
  ],
  NEWS_GONE: [
    'CONFLICT',
    'What has happened since that revision can not be said whole.',
    'Read the revision of the distributor and then the orders anew, and listen from that revision on.',
  ],
  TOO_MANY_UNFINISHED: [
    'CONFLICT',
    'The planner has as much of yours to do as it takes on.',
    'Wait until a draft or a comparison is done.',
  ],
  BUSY: [
    'BUSY',
    'Too many changes of the same records, or questions to the planner, are under way.',
    'Send the same request again after `retryAfterSeconds`.',
  ],
  TOO_MANY_STREAMS: [
    'BUSY',
    'The key has as many subscriptions open as it may.',
    'End one that is not needed, ask again after `retryAfterSeconds`, or listen with another key.',
  ],
  TOO_MANY_CONNECTIONS: [
    'BUSY',
    'The server has as many connections open as it takes.',
    'Send the same request again after the seconds of `retry-after`.',
  ],
  DATABASE_SLOW: [
    'BUSY',
    'The database took too long, and the work was given up whole. Nothing was written.',
    'Send the same request again after `retryAfterSeconds`; where it stays so, ask for less at once.',
  ],
  DATABASE_AWAY: [
    'BUSY',
    'The database does not answer just now.',
    'Ask again after `retryAfterSeconds`. Of a change look first whether it was written: all of it was, or nothing.',
  ],
  // ---- planning
  NO_PLAN_FITS: [
    'NOT_POSSIBLE',
    'No valid plan has it as asked.',
    'Read the reasons; ask for another day, pack or quantity.',
  ],
  OFFER_GONE: [
    'NOT_POSSIBLE',
    'What was offered can no longer be kept.',
    'Read the reasons and what is possible now; ask for a promise again.',
  ],
  PROMISE_WORSENS: [
    'NOT_POSSIBLE',
    'The change would serve a promised line later than it is promised, or not wholly.',
    'Read the reasons; accept a later day (LATER) or no promise (AS_DEMAND), or ask for another day, pack or quantity.',
  ],
} as const satisfies Record<string, readonly [ErrorKind, string, string]>
