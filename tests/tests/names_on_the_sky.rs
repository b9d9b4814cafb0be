//! Where names stand on the sky: what their leaders cross, what they lie on, and who has none.
//!
//! Counted from the marks of whole pages, apart from the code that places them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use fieldstop::kit::Kit;
use fieldstop::{Angle, Frame};
use fieldstop_gui::scene::labels::LEADER_PT;
use fieldstop_gui::scene::primitive::{Bounds, Point, Primitive, Scene, TextMark};
use fieldstop_gui::scene::{Layers, NamePlaces, Palette, SkyInput, next_sky_scene};
use fieldstop_gui::sketch::{Page, PageGround, PageSize, SketchOptions, page};
use fieldstop_gui::sky::Sky;

const POSTCARD: PageSize = PageSize::Paper { width_mm: 148.0, height_mm: 105.0, dpi: 150.0 };
const SIZES: [PageSize; 5] = [
    PageSize::Pixels { width: 900, height: 600 },
    PageSize::Pixels { width: 1280, height: 800 },
    PageSize::Pixels { width: 2400, height: 1600 },
    POSTCARD,
    PageSize::Paper { width_mm: 210.0, height_mm: 297.0, dpi: 150.0 },
];
const TARGETS: [&str; 6] = ["M 31", "M 42", "Cygnus Loop", "NGC 891", "NGC 7000", "M 57"];

/// The demo kit with so many rigs; those that it lacks are copies with another focal length.
fn kit_with(rigs: usize) -> Kit {
    let mut kit: Kit = ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap();
    kit.rigs.truncate(rigs);
    while kit.rigs.len() < rigs {
        let place = kit.rigs.len();
        kit.duplicate_rig(place % 5).unwrap();
        let mut ota = kit.otas.iter().find(|ota| ota.name == kit.rigs[place].ota).unwrap().clone();
        ota.name = format!("{} {place}", ota.name);
        ota.focal_length_mm *= 0.6 + 0.13 * place as f64;
        kit.rigs[place].ota.clone_from(&ota.name);
        kit.otas.push(ota);
    }
    kit.rigs.iter_mut().for_each(|rig| rig.shown = true);
    kit
}

type Segment = [Point; 2];

/// The marks of a sky that matter to a reader of its names.
struct Marks {
    names: Vec<TextMark>,
    leaders: Vec<Segment>,
    edges: Vec<Segment>,
    outlines: Vec<Segment>,
}

impl Marks {
    fn of(page: &Page, ground: PageGround) -> Self {
        let sky = sky_of(&page.scene);
        let palette: Palette = ground.palette();
        let of_targets = [palette.target, palette.wish, palette.chosen];
        let (mut leaders, mut outlines) = (Vec::new(), Vec::new());
        for item in &sky.items {
            if let Primitive::Line { points, closed, stroke } = item {
                let ends = if *closed { points.len() } else { points.len() - 1 };
                let sides = points.iter().zip(points.iter().cycle().skip(1)).take(ends);
                let sides = sides.map(|(from, to)| [*from, *to]);
                if (stroke.width_pt - LEADER_PT).abs() < 1e-9 {
                    leaders.extend(sides);
                } else if of_targets.contains(&stroke.ink) {
                    outlines.extend(sides);
                }
            }
        }
        let mut edges = Vec::new();
        for drawn in &page.frames {
            let corners = drawn.frame.corners().map(|corner| page.view.point(corner));
            for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                edges.extend(from.zip(*to).map(|(from, to)| [from, to]));
            }
        }
        Self { names: sky.texts(), leaders, edges, outlines }
    }

    fn struck_by_leaders(&self) -> Vec<&str> {
        let struck = |name: &&TextMark| self.leaders.iter().any(|line| meets(line, &box_of(name)));
        self.names.iter().filter(struck).map(|name| name.text.as_str()).collect()
    }

    fn crossing_leaders(&self) -> usize {
        let pairs = self.leaders.iter().enumerate();
        pairs
            .map(|(place, one)| self.leaders[..place].iter().filter(|it| cross(one, it)).count())
            .sum()
    }

    fn on_line(&self, bounds: &Bounds) -> bool {
        self.edges.iter().chain(&self.outlines).any(|line| meets(line, bounds))
    }

    /// Names on a line, and those of them that a step of some points would free. Coordinates may stand
    /// on lines.
    fn on_lines(&self, sky: &Bounds, palette: &Palette) -> (Vec<&str>, Vec<&str>) {
        let names = self.names.iter().filter(|name| name.ink != palette.grid_text);
        let on: Vec<&TextMark> = names.filter(|name| self.on_line(&box_of(name))).collect();
        let free = |name: &&&TextMark| {
            let here = box_of(name);
            let steps = (-6..=6).map(|step| f64::from(step) * 3.0);
            steps.clone().flat_map(|dx| steps.clone().map(move |dy| (dx, dy))).any(|(dx, dy)| {
                let there = Bounds::at(here.left + dx, here.top + dy, here.width(), here.height());
                let roomy = there.expanded(3.0);
                sky.expanded(-3.0).encloses(&there)
                    && !self.on_line(&there.expanded(1.0))
                    && !self.leaders.iter().any(|line| meets(line, &roomy))
                    && self.names.iter().all(|other| {
                        std::ptr::eq(other, **name) || !other.bounds().overlaps(&roomy)
                    })
            })
        };
        let freed = on.iter().filter(free).map(|name| name.text.as_str()).collect();
        (on.iter().map(|name| name.text.as_str()).collect(), freed)
    }
}

/// The part of a name that a line would strike: from the capitals' tops, without what lies on its edge.
fn box_of(name: &TextMark) -> Bounds {
    let letters = name.bounds().expanded(-0.3);
    Bounds { top: letters.top + 0.06 * name.size_pt, ..letters }
}

/// The one inset of a sketch.
fn sky_of(scene: &Scene) -> &Scene {
    let mut insets = scene.items.iter().filter_map(|item| match item {
        Primitive::Inset { scene, .. } => Some(scene),
        _ => None,
    });
    insets.next_back().unwrap()
}

fn turn([a, b]: &Segment, c: &Point) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn cross(one: &Segment, other: &Segment) -> bool {
    turn(one, &other[0]) * turn(one, &other[1]) < 0.0
        && turn(other, &one[0]) * turn(other, &one[1]) < 0.0
}

fn meets(line: &Segment, bounds: &Bounds) -> bool {
    let [a, b, c, d] = bounds.corners();
    line.iter().any(|end| bounds.contains(*end)) || cross(line, &[a, c]) || cross(line, &[b, d])
}

/// Frames of which an edge is seen, without a name.
fn nameless(page: &Page, marks: &Marks) -> Vec<String> {
    let sky = page.view.bounds().expanded(-8.0);
    let seen = |frame: &Frame| {
        let corners = frame.corners().map(|corner| page.view.point(corner));
        let mut sides = corners.iter().zip(corners.iter().cycle().skip(1));
        sides.any(|(from, to)| from.zip(*to).is_some_and(|(from, to)| meets(&[from, to], &sky)))
    };
    let named = |name: &str| marks.names.iter().any(|text| text.text == name);
    let frames = page.frames.iter().filter(|drawn| seen(&drawn.frame) && !named(&drawn.name));
    frames.map(|drawn| drawn.name.clone()).collect()
}

/// What was counted on all pages together. A postcard with twelve frames one inside the other has no
/// room for every name; everywhere else each frame has one.
#[test]
fn leaders_keep_off_names_and_names_off_lines() {
    let sky = Sky::embedded().unwrap();
    let (mut all, mut crossing, mut on_lines, mut freed, mut without) = (0, 0, 0, 0, 0);
    for rigs in [1, 2, 3, 5, 8, 12] {
        let kit = kit_with(rigs);
        for target in TARGETS {
            for (place, size) in SIZES.into_iter().enumerate() {
                let ground = if place % 2 == 0 { PageGround::Light } else { PageGround::Dark };
                let mut options = SketchOptions::new(target, size);
                options.style.ground = ground;
                let page = page(&kit, &sky, &options).unwrap();
                let marks = Marks::of(&page, ground);
                let what = format!("{target}, {rigs} rigs, {}", size.words());
                let struck = marks.struck_by_leaders();
                assert!(struck.is_empty(), "{what}: leaders go through {struck:?}");
                let nameless = nameless(&page, &marks);
                let is_crowded = rigs == 12 && size == POSTCARD;
                assert!(is_crowded || nameless.is_empty(), "{what}: {nameless:?} without a name");
                let (on, free) = marks.on_lines(&page.view.bounds(), &ground.palette());
                println!("{what}: on lines {on:?}, of them beside a free place {free:?}");
                all += marks.names.len();
                crossing += marks.crossing_leaders();
                on_lines += on.len();
                freed += free.len();
                without += nameless.len();
            }
        }
    }
    println!(
        "{all} names, {crossing} leaders over another, {on_lines} names on lines, {freed} of them \
         beside a free place, {without} frames without a name"
    );
    // Constellation, scale and compass keep their places whatever lies under them.
    assert!(all > 3900 && crossing <= 8 && on_lines <= 50 && freed <= 16 && without <= 8);
}

/// However much of it the page cuts off.
#[test]
fn a_frame_of_which_an_edge_is_in_view_has_a_name() {
    let sky = Sky::embedded().unwrap();
    let kit = kit_with(6);
    for target in TARGETS {
        for span_deg in [0.6, 1.0, 1.5, 2.2, 3.0, 4.0, 5.5, 8.0] {
            let mut options = SketchOptions::new(target, SIZES[0]);
            options.span = Some(Angle::from_deg(span_deg));
            let page = page(&kit, &sky, &options).unwrap();
            let marks = Marks::of(&page, options.style.ground);
            let nameless = nameless(&page, &marks);
            let struck = marks.struck_by_leaders();
            let what = format!("{target}, {span_deg} degrees");
            assert!(nameless.is_empty(), "{what}: {nameless:?} without a name");
            assert!(struck.is_empty(), "{what}: leaders go through {struck:?}");
        }
    }
}

/// Words that stand elsewhere on the sky than one step of panning before, over some hundred steps; those
/// fixed to the page move with it.
fn jumps(sky: &Sky, target: &str, does_remember: bool) -> usize {
    let target = sky.catalogue.named(target).unwrap();
    let drawn = page(&kit_with(6), sky, &SketchOptions::new(&target.name, SIZES[0])).unwrap();
    let mut view = drawn.view;
    let mut places = NamePlaces::default();
    let mut before: Vec<(String, Point)> = Vec::new();
    let mut jumps = 0;
    for step in 0..150 {
        let down = if step % 60 < 30 { 1.0 } else { -2.0 };
        view = view.panned([100.0, 100.0], [102.0, 100.0 + down]);
        if !does_remember {
            places = NamePlaces::default();
        }
        let input = SkyInput {
            view,
            palette: &Palette::dark(),
            catalogue: &sky.catalogue,
            star_list: &sky.stars,
            stars: &[],
            chosen: Some(target),
            wishes: &[],
            frames: &drawn.frames,
            picture: None,
            layers: Layers { grid: false, ..Layers::default() },
        };
        let texts = next_sky_scene(&input, &mut places).texts();
        let here = view.point(target.place).unwrap();
        let now: Vec<(String, Point)> = texts
            .into_iter()
            .map(|text| {
                let at = [text.left() - here[0], text.at[1] - here[1]];
                (text.text, at)
            })
            .collect();
        for (name, at) in &now {
            let stood = before.iter().find(|(other, _)| other == name);
            let off = stood.map_or([0.0; 2], |(_, stood)| [at[0] - stood[0], at[1] - stood[1]]);
            let is_furniture = (off[0] + 2.0).abs() < 0.3;
            jumps += usize::from(off[0].hypot(off[1]) > 4.0 && !is_furniture);
        }
        before = now;
    }
    jumps
}

#[test]
fn names_go_along_with_a_view_that_is_moved() {
    let sky = Sky::embedded().unwrap();
    let [with, without] = [true, false].map(|does_remember| {
        let targets = ["M 31", "M 42", "NGC 891", "NGC 7000", "M 57"];
        targets.map(|target| jumps(&sky, target, does_remember)).iter().sum::<usize>()
    });
    println!("{with} jumps with the places of before, {without} without");
    assert!(4 * with < 3 * without, "{with} and {without}");
}
