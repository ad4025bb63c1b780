# Sourced by run and long: what both say and install, and parts read by programs that know nothing of ours.

say() { printf '\n== %s (%d s)\n' "$*" "$SECONDS"; }
fail() {
	printf 'FAILED: %s\n' "$*" >&2
	exit 1
}

# install TOOL... installs what is missing of the outside readers and the tools named, and manifold-3d into $tmp.
install() {
	local tool missing=()
	local -A package=([qemu-aarch64-static]=qemu-user-static [zbarimg]=zbar-tools)
	for tool in admesh prusa-slicer npm python3 "$@"; do
		command -v "$tool" >/dev/null || missing+=("${package[$tool]:-$tool}")
	done
	# Pages are laid out in the widths of this font, which has those of Arial and Helvetica.
	[[ -d /usr/share/fonts/truetype/liberation ]] || missing+=(fonts-liberation)
	command -v pdftotext >/dev/null || missing+=(poppler-utils)
	if ((${#missing[@]})); then
		apt-get update -qq
		DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}"
	fi
	for tool in go node admesh prusa-slicer npm python3 pdftotext pdftoppm "$@"; do
		command -v "$tool" || fail "$tool is missing"
	done
	npm install --silent --no-audit --no-fund --prefix "$tmp/npm" manifold-3d@3.5.4 axe-core@4.14.1
	manifold=$tmp/npm/node_modules/manifold-3d
	[[ -f $manifold/manifold.wasm ]] || fail "manifold-3d is missing"
}

# side_by_side FUNCTION <LINES calls a function with each line of arguments, as many at a time as there are processors.
side_by_side() {
	local name
	while read -r _ _ name; do export -f "${name?}"; done < <(declare -F)
	export tmp ci tryring manifold sum
	xargs -P "$(nproc)" -L 1 bash -c 'set -euo pipefail; "$0" "$@"' "$1"
}

# told FILE.json EXPRESSION prints a value of a JSON file, r.
told() { node -p "const r = JSON.parse(require('fs').readFileSync(process.argv[1], 'utf8')); $2" "$1"; }

# agree WHAT A B fails unless both volumes agree to 0.01 %.
agree() {
	awk -v a="$2" -v b="$3" 'BEGIN { d = a - b; if (d < 0) d = -d; exit !(a > 0 && d <= 1e-4 * a) }' ||
		fail "$1: a volume of $3 mm3 where we say $2"
}

# count TEXT LABEL prints the first number after a label of admesh's report.
count() { sed -nE "s/^$2 *: *([0-9]+).*/\1/p" <<<"$1"; }

read_with_admesh() { # FILE.stl PARTS
	local report zero n
	report=$(admesh "$1")
	for zero in 'Facets with 1 disconnected edge' 'Facets with 2 disconnected edges' 'Facets with 3 disconnected edges' \
		'Total disconnected facets' 'Degenerate facets' 'Edges fixed' 'Facets removed' 'Facets added' 'Facets reversed' \
		'Backwards edges' 'Normals fixed'; do
		n=$(count "$report" "$zero")
		[[ $n == 0 ]] || fail "admesh: $1: ${zero,,}: ${n:-not told}"
	done
	n=$(count "$report" 'Number of parts')
	[[ $n == "$2" ]] || fail "admesh: $1: number of parts: ${n:-not told}, not $2"
}

read_with_slicer() { # FILE VOLUME PARTS
	local info
	info=$(prusa-slicer --info "$1" 2>&1)
	grep -q '^manifold = yes' <<<"$info" || fail "prusa-slicer: $1 is not manifold: $info"
	grep -qE "^number_of_parts = +$3\$" <<<"$info" || fail "prusa-slicer: $1 is not of $3 parts: $info"
	agree "prusa-slicer: $1" "$2" "$(sed -nE 's/^volume = //p' <<<"$info")"
}

# slice lays the walls alone: what a file can be complained of shows there, and infill takes five times as long.
slice() { # FILE.stl [OPTIONS]
	local out
	out=$(prusa-slicer --export-gcode --slice --load "$ci/slices/even.ini" --layer-height 0.2 "${@:2}" --output "$1.gcode" "$1" 2>&1) || fail "prusa-slicer: $1: $out"
	if grep -iE 'warning|error|repair|empty layer' <<<"$out"; then fail "prusa-slicer: $1: slices with complaints: $out"; fi
	grep -q '^;TYPE:' "$1.gcode" || fail "prusa-slicer: $1: no paths came out"
}

read_with_manifold() { # FILE.stl VOLUME HOLES
	local seen=$1.manifold.json
	node "$ci/manifold.mjs" "$manifold" "$1" >"$seen" || fail "manifold-3d: $1 is no solid"
	[[ $(told "$seen" r.status) == NoError ]] || fail "manifold-3d: $1: $(cat "$seen")"
	[[ $(told "$seen" r.genus) == "$3" ]] || fail "manifold-3d: $1: genus is not $3: $(cat "$seen")"
	[[ $(told "$seen" r.parts) == 1 ]] || fail "manifold-3d: $1: not one part: $(cat "$seen")"
	agree "manifold-3d: $1" "$2" "$(told "$seen" r.volume_mm3)"
}

# solid FILE.stl HOLES [VOLUME] gives a part, and the 3MF file beside it, to all the readers, and adds its volume to sum. The
# volume is what tryring inspect finds when none is given.
sum=0
solid() {
	local volume=${3:-}
	if [[ -z $volume ]]; then
		"$tryring" inspect "$1" --json >"$tmp/seen.json" || fail "tryring inspect $1"
		volume=$(told "$tmp/seen.json" r.volume_mm3)
	fi
	read_with_admesh "$1" 1
	read_with_slicer "$1" "$volume" 1
	read_with_slicer "${1%.stl}.3mf" "$volume" 1
	read_with_manifold "$1" "$volume" "$2"
	sum=$(awk -v a="$sum" -v b="$volume" 'BEGIN { print a + b }')
	echo "$(basename "$1"): sound to admesh, prusa-slicer and manifold-3d; $volume mm3"
}

# plate FILE.3mf PARTS gives a plate to the slicer: solids given to the readers since sum was 0.
plate() {
	local info
	info=$(prusa-slicer --info "$1" 2>&1)
	[[ $(grep -c '^manifold = yes' <<<"$info") == "$2" && $(grep -cE '^number_of_parts = +1$' <<<"$info") == "$2" ]] ||
		fail "prusa-slicer: $1 is not of $2 parts: $info"
	agree "prusa-slicer: $1" "$sum" "$(sed -nE 's/^volume = //p' <<<"$info" | awk '{ v += $1 } END { print v }')"
}

# ring NAME ARGUMENTS builds a ring, gives it to all the readers, and slices it. A ring has one hole; an engraving adds none.
ring() {
	local name=$1
	shift
	"$tryring" ring "$@" --name "$name" --out "$tmp/rings" >/dev/null || fail "tryring ring $*"
	solid "$tmp/rings/$name.stl" 1 "$(told "$tmp/rings/$name.json" r.mesh.volume_mm3)"
	slice "$tmp/rings/$name.stl"
}

# feels NAME LAYER SETTINGS [bare] slices the ring NAME, lets inspect say what a mate feels of it, and beads.py find it another way.
feels() {
	local code=$tmp/rings/$1-$2.gcode load=()
	[[ $3 == default ]] || load=(--load "$ci/slices/$3.ini" --first-layer-height 0.2)
	prusa-slicer --export-gcode --slice "${load[@]}" --layer-height "$2" --output "$code" "$tmp/rings/$1.stl" >"$code.log" 2>&1 || fail "prusa-slicer: $1: $(tail -3 "$code.log")"
	printf '%s in layers of %s mm, %s\n%s\n' "$1" "$2" "$3" "$(felt "$1" "$code" "${4:-}")"
}

# felt NAME FILE.gcode [bare] compares model, inspect and beads.py. Exit 3 of inspect is an answer: a coarse layer may bind.
felt() {
	local code=0
	"$tryring" inspect "$2" --ring "$tmp/rings/$1.json" --json >"$2.json" || code=$?
	[[ $code == 0 || $code == 3 ]] || fail "tryring inspect $2"
	python3 "$ci/beads.py" check "$tmp/rings/$1.json" "$2" "$2.json" ${3:+"$3"} || fail "$2: model, inspect and beads.py disagree"
}

# foreign DIR EVERY ARGUMENTS makes every so many-th part file of each kind with modellers that know nothing of ours, proves their truth on their
# points, and has judge.py hold what inspect says to it. It needs the modellers' packages and writes into DIR.
foreign() {
	local dir=$1 every=$2 python=/usr/bin/python3 # whose numpy is Debian's
	shift 2
	export PYTHONDONTWRITEBYTECODE=1 # nothing is left in the checkout
	"$python" "$ci/foreign/make.py" "$dir" --share "$every" --processes "$(nproc)" --without "${WITHOUT:-}" || fail "part files of other modellers"
	"$python" "$ci/foreign/proof.py" "$dir/teach" "$dir/judge" || fail "the truth of part files"
	"$python" "$ci/foreign/judge.py" "$tryring" "$dir/teach" "$dir/judge" --list "$@" || fail "inspect of other modellers' files"
}

# packages NAME... installs Debian's packages where they are missing.
packages() {
	local name missing=()
	for name; do dpkg -s "$name" >/dev/null 2>&1 || missing+=("$name"); done
	((${#missing[@]})) || return 0
	apt-get update -qq
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}
