"""What is said of soil tests. Pits, samples, quartering."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # pits
    "layer_upside_down": "Layer {layer} runs from {top} to {bottom} mm: it must end below where it begins, from the ground down. Are the two "
    "swapped?",
    "layers_apart": "Layer {layer} does not begin where the one above it ends.",
    "why_layers_apart": "A layer may be missing, or a depth misread. The log is kept as it stands.",
    "reserve_wants": "For the reserve, say which layer is wanted and how far it reaches both ways.",
    "pits_few": "Pits or holes in this soil so far: {holes}. On a small plot {least} are wanted, and one more for each change that is seen.",
    "topsoil_not_marked": "No layer is marked as topsoil: strip {least} to {most} mm, deeper with roots, before anything is dug for blocks.",
    "pit_keep_out": "Nobody enters this pit: it is {depth} mm deep, over {most} mm, and its sides are not said to be supported. Sample from above, "
    "by auger or bucket, or have it supported or sloped back first.",
    "pit_not_looked_at": "Nobody enters a pit that no competent person has looked at, however deep; below {most} mm use an auger. The rules "
    "of your country come first.",
    "pit_crystals": "White crystals: nothing with cement or lime from here before its sulfate is found by a 10:1 or an acid extract.",
    "pit_smells": "The wanted layer smells or is full of roots: go deeper, and test it for organic matter before it is used.",
    "pit_water": "Water stood at {water} mm: soil from below it comes up wet, and its sides slip.",
    # samples
    "sample_upside_down": "The sample runs from {top} to {bottom} mm: it must end below where it begins.",
    "why_sample_upside_down": "The sample counts all the same.",
    "sample_of_surface": "The surface of a pile is not the pile: coarse grains roll to its foot, fines wash and blow away. Take another from "
    "inside, at several places.",
    "sample_of_topsoil": "It begins at {top} mm: the upper {least} mm and more are topsoil, whose plant remains keep cement from setting.",
    "sample_of_one_spot": "One place says little of a whole bank. Put a sample together from several.",
    "sample_not_labelled": "Put a tag inside the bag and one outside: a soil without a name is lost.",
    "sample_enough_for": "{held} kg of this soil so far: enough for {use}.",
    "sample_wants": "For {use} bring {least} kg of it in all.",
    "plan_wants": "The plan wants {still} kg more of this soil, damp as it lies.",
    "plan_has_enough": "The plan has enough of this soil.",
}
