/** A plan as the API answers it. */
export interface ToldPlan {
  readonly id: string
  readonly state: string
  readonly progress: number
  readonly weeks: readonly { week: string; minutes: number; capacityMinutes: number; stickIds: readonly string[] }[]
  readonly broken: readonly { code: string; text: string; week?: string; minutes?: number }[]
  readonly value: number | null
  readonly bound: number | null
}
