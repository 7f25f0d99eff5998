// How pages ask what people call a thing.

/** The kinds of thing that a page names by id. */
export type NamedThing = 'beer' | 'pack' | 'vessel' | 'filler' | 'route' | 'containerType' | 'batch'

/** The name of a thing by its id, a batch by its code; the id itself where there is no such thing. */
export type NameOf = (kind: NamedThing, id: string) => string
