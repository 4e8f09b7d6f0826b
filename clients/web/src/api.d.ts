/** The part of the service's contract that the element reads and writes (openapi.yaml). */

export type UnitSystem = "metric" | "us" | "imperial";
export type VolumeAt = "kettle" | "fermenter" | "package" | "unknown";
export type Moment = "mash" | "first_wort" | "boil" | "stand" | "dry";

export interface Quantity {
  value: number;
  unit: string;
}

export interface Forecast {
  mean: Quantity;
  interval_80: { low: Quantity; high: Quantity };
}

export interface PlannedFermentable {
  name: string;
  added_to: "mash" | "kettle" | "fermenter";
  to_weigh: Quantity;
  share_of_extract: Quantity;
}

export interface PlannedHop {
  name: string;
  form: string;
  moment: Moment;
  alpha: Quantity;
  time: Quantity;
  temperature: Quantity | null;
  to_weigh: Quantity;
  bitterness: Quantity;
}

export interface WaterPlan {
  strike: Quantity;
  sparge: Quantity[];
  total: Quantity;
  preboil: Quantity;
  preboil_hot: Quantity;
  postboil: Quantity;
  postboil_hot: Quantity;
  kettle_loss: Quantity;
  fermenter: Quantity;
  fermenter_loss: Quantity;
  packaged: Quantity;
}

export interface VesselFit {
  vessel: string;
  at: string;
  needed: Quantity;
  usable: Quantity;
  fits: boolean;
  detail: string;
}

export interface Fit {
  fits: boolean;
  reaches_gravity: boolean;
  checks: VesselFit[];
  largest_grain_bill: Quantity;
  ceiling_gravity: Quantity | null;
  wet_bag_lifted: Quantity | null;
  wet_bag_drained: Quantity | null;
}

export interface BeerForecast {
  mash_efficiency: Forecast;
  preboil_gravity: Forecast;
  original_gravity: Forecast;
  final_gravity: Forecast;
  alcohol_by_volume: Forecast;
  bitterness: Quantity;
  bitterness_formula: string;
  colour: Quantity;
}

export interface Alternative {
  efficiency: Quantity;
  grain: Quantity;
  original_gravity: Forecast;
}

export interface WayOut {
  kind: string;
  detail: string;
  volume: Quantity;
  original_gravity: Quantity;
  grain: Quantity;
  burner_time: Quantity;
  risks: { code: string; detail: string }[];
  /** Recipe and setup it was planned with, where it changes them. */
  recipe: object | null;
  setup: object | null;
  plan: Plan;
}

export interface Plan {
  recipe_name: string;
  setup_name: string;
  asked: { volume: Quantity; volume_at: VolumeAt; gravity: Quantity; bitterness: Quantity | null };
  grist: PlannedFermentable[];
  grain: Quantity;
  hop_bill: PlannedHop[];
  water: WaterPlan;
  temperatures: {
    strike_water: Quantity;
    grain: Quantity;
    mash: { temperature: Quantity; time: Quantity }[];
    boil_time: Quantity;
  };
  forecast: BeerForecast;
  fit: Fit;
  in_reserve: { dry_extract: Quantity; top_up: Quantity };
  compared_with: { stated_efficiency: Alternative | null; average_efficiency: Alternative | null };
  warnings: { code: string; detail: string }[];
  cautions: { code: string; hazard: string; advice: string }[];
  ways_out: WayOut[];
}

export interface Scaling {
  id: string | null;
  setup: { vessels: { kettle: { capacity: Quantity } } };
  plan: Plan;
}

export interface Vessel {
  capacity: Quantity;
}

/** A setup written out in a request. */
export interface SetupDocument {
  name: string;
  lauter_method: string;
  grain_held_by: string;
  vessels: { kettle: Vessel; mash_tun?: Vessel; fermenters: Vessel[] };
  constants: { boil_off?: Quantity };
}

export interface Target {
  /** A text such as `10 L` does as well. */
  volume?: Quantity | string;
  volume_at?: VolumeAt;
  gravity?: Quantity;
}

export interface ScalingDocument {
  setup_id?: string;
  setup?: SetupDocument;
  recipe_id?: string;
  recipe?: unknown;
  target: Target;
  preferences: { weigh_in: "metric" | "us" };
}

export interface StoredSetup {
  id: string;
  name: string;
}

export interface Brewer {
  name: string;
  units: UnitSystem;
}

export interface Problem {
  type?: string;
  title?: string;
  status: number;
  detail?: string;
  instance?: string;
  errors?: { pointer?: string; parameter?: string; detail: string }[];
}
