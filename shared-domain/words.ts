/** The words of the trade, spelled one way in code, API, screens and mails. */

export const constructions = ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube', 'wood'] as const
export type Construction = (typeof constructions)[number]

/** Dry, or misted: the surface state a survey is taken in. */
export const surfaceStates = ['dry', 'wet'] as const
export type SurfaceState = (typeof surfaceStates)[number]

export const quarterTurns = [0, 90, 180, 270] as const
export type QuarterTurn = (typeof quarterTurns)[number]

export const waters = ['distilled', 'demineralised', 'tap', 'other'] as const
export const appearances = ['beads', 'film', 'drip line'] as const
export const glosses = ['sound', 'lost'] as const

export const testReasons = ['first issue', 'periodic', 'defect', 'repair', 'retest', 'recall', 'resumption'] as const

export const defectKinds = [
  'contamination',
  'tracking',
  'burn',
  'blister',
  'crack',
  'delamination',
  'scratch',
  'gouge',
  'dent',
  'lost gloss',
  'fitting',
  'tingle',
  'drop',
  'flashover',
  'other',
] as const

/** The kinds of what the employer may demonstrate in place of what a rule asks of a test. */
export const demonstrationKinds = ['examination alone', 'withstand', 'readings for withstand'] as const

/**
 * The failures that count toward removal for good where a policy narrows them: those after what mends more than dirt.
 */
export const removesOnlyAfter = 'refinishing or repair'
export type RemovesOnlyAfter = typeof removesOnlyAfter

export const verdicts = ['pass', 'fail', 'invalid', 'incomplete'] as const
export type Verdict = (typeof verdicts)[number]

/** Statuses in order of precedence: the first that applies is the status. */
export const statuses = [
  'scrapped',
  'removed from service',
  'on hold',
  'awaiting first test',
  'overdue',
  'due soon',
  'in service',
] as const
export type Status = (typeof statuses)[number]

export const roles = ['crew', 'bench', 'manager', 'owner'] as const
export type Role = (typeof roles)[number]

/**
 * The things that somebody may do, as a lineworker would name them. Each stands for one right of the table or several.
 */
export const abilities = [
  'report danger',
  'see sticks',
  'write down uses and looks',
  'put dates in a calendar',
  'mark people told',
  'test',
  'move sticks',
  'remind crews',
  'keep sticks',
  'recall sticks',
  'keep people',
  'keep instruments',
  'keep rules',
  'decide changes',
  'place reports',
  'clear addresses',
  'enter owners',
] as const
export type Ability = (typeof abilities)[number]

/** The languages and units in which a reader of mails may want them written. */
export const languages = ['en', 'es'] as const
export type Language = (typeof languages)[number]
export const unitSystems = ['metric', 'US customary'] as const
export type UnitSystem = (typeof unitSystems)[number]

/**
 * The evidence that a stick can show for itself. A full bench test that counts is an examination, a dry test, for FRP a
 * wet test, and a condition check, all at once.
 */
export const evidenceKinds = [
  'examination',
  'dry test',
  'wet test',
  'demonstrated examination',
  'acceptance test',
  'certificate',
  'condition check',
] as const
export type EvidenceKind = (typeof evidenceKinds)[number]

/** The ways in which a stick is used; the strictest first. */
export const serviceClasses = ['frequent', 'occasional', 'stored'] as const
export type ServiceClass = (typeof serviceClasses)[number]

/** Events that can put a stick out of service until new evidence, beside the reports and repairs that always do. */
export const stoppingEvents = [
  'cleaned',
  'waxed',
  'repaired',
  'refinished',
  'suspicion',
  'incident',
  'use without protectors',
  'batch problem',
] as const
export type StoppingEvent = (typeof stoppingEvents)[number]

/** Conditions of use that wear a stick more. */
export const useConditions = ['wet', 'salt', 'contaminated', 'high duty'] as const

/** The ways in which an instrument may read wrong. */
export const errorKinds = ['percent of reading', 'percent of full scale', 'offset microamps'] as const
