//! A surface drawn in three dimensions: one shader over WebGL 2, told from which side it is looked at.

use js_sys::{Float32Array, Object, Reflect, Uint32Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    HtmlCanvasElement, WebGl2RenderingContext as Gl, WebGlProgram, WebGlShader,
    WebGlUniformLocation, WebGlVertexArrayObject,
};

/// Numbers of one corner: place, direction away from the surface, colour.
const PER_CORNER: i32 = 9;
/// Bytes of one number.
const WIDE: i32 = 4;

const CORNERS: &str = "#version 300 es
uniform mat4 view;
layout(location = 0) in vec3 place;
layout(location = 1) in vec3 away;
layout(location = 2) in vec3 colour;
out vec3 tone;
out vec3 side;
void main() {
    gl_Position = view * vec4(place, 1.0);
    tone = colour;
    side = away;
}";

/// Both sides of the sheet are lit alike.
const DOTS: &str = "#version 300 es
precision mediump float;
uniform vec3 light;
in vec3 tone;
in vec3 side;
out vec4 dot_colour;
void main() {
    float lit = 0.45 + 0.55 * abs(dot(normalize(side), light));
    dot_colour = vec4(tone * lit, 1.0);
}";

/// A surface of triangles.
#[derive(Clone, Debug, PartialEq, Default)]
pub(crate) struct Surface {
    /// Nine numbers a corner: place, direction away from the surface, and colour from 0 to 1.
    pub(crate) corners: Vec<f32>,
    /// Three corners a triangle.
    pub(crate) triangles: Vec<u32>,
}

/// From which side a surface is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Look {
    /// The map from places to the picture, column by column.
    pub(crate) view: [f32; 16],
    /// Where the light comes from, of length 1.
    pub(crate) light: [f32; 3],
}

/// A canvas that surfaces are drawn on.
#[derive(Debug)]
pub(crate) struct Canvas3d {
    canvas: HtmlCanvasElement,
    gl: Gl,
    array: WebGlVertexArrayObject,
    view: Option<WebGlUniformLocation>,
    light: Option<WebGlUniformLocation>,
    count: i32,
}

impl Canvas3d {
    /// Gets a canvas ready; `None` where the browser has no WebGL 2.
    pub(crate) fn on(canvas: &HtmlCanvasElement) -> Option<Self> {
        // Kept after it is drawn, so that it can be copied and looked at.
        let wishes = Object::new();
        Reflect::set(&wishes, &JsValue::from("preserveDrawingBuffer"), &JsValue::TRUE).ok()?;
        let context = canvas.get_context_with_context_options("webgl2", &wishes).ok()??;
        let gl = context.dyn_into::<Gl>().ok()?;
        let program = program(&gl)?;
        gl.use_program(Some(&program));
        gl.enable(Gl::DEPTH_TEST);
        let array = gl.create_vertex_array()?;
        let view = gl.get_uniform_location(&program, "view");
        let light = gl.get_uniform_location(&program, "light");
        Some(Self { canvas: canvas.clone(), gl, array, view, light, count: 0 })
    }

    /// Takes another surface to draw.
    pub(crate) fn take(&mut self, surface: &Surface) {
        let gl = &self.gl;
        gl.bind_vertex_array(Some(&self.array));
        gl.bind_buffer(Gl::ARRAY_BUFFER, gl.create_buffer().as_ref());
        let corners = Float32Array::from(surface.corners.as_slice());
        gl.buffer_data_with_array_buffer_view(Gl::ARRAY_BUFFER, &corners, Gl::STATIC_DRAW);
        for part in 0..3 {
            gl.enable_vertex_attrib_array(part);
            let from = i32::try_from(part).unwrap_or_default() * 3 * WIDE;
            let step = PER_CORNER * WIDE;
            gl.vertex_attrib_pointer_with_i32(part, 3, Gl::FLOAT, false, step, from);
        }
        gl.bind_buffer(Gl::ELEMENT_ARRAY_BUFFER, gl.create_buffer().as_ref());
        let triangles = Uint32Array::from(surface.triangles.as_slice());
        gl.buffer_data_with_array_buffer_view(
            Gl::ELEMENT_ARRAY_BUFFER,
            &triangles,
            Gl::STATIC_DRAW,
        );
        self.count = i32::try_from(surface.triangles.len()).unwrap_or_default();
    }

    /// Width over height of the picture as it is shown, with its dots made as fine as the screen's.
    pub(crate) fn fit(&self) -> f64 {
        let rect = self.canvas.get_bounding_client_rect();
        let fine = web_sys::window().map_or(1.0, |window| window.device_pixel_ratio());
        let (width, height) = (dots(rect.width() * fine), dots(rect.height() * fine));
        if (self.canvas.width(), self.canvas.height()) != (width, height) {
            self.canvas.set_width(width);
            self.canvas.set_height(height);
        }
        f64::from(width) / f64::from(height)
    }

    /// Draws the surface.
    pub(crate) fn draw(&self, look: &Look) {
        let gl = &self.gl;
        let side = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
        gl.viewport(0, 0, side(self.canvas.width()), side(self.canvas.height()));
        gl.clear_color(0.0, 0.0, 0.0, 0.0);
        gl.clear(Gl::COLOR_BUFFER_BIT | Gl::DEPTH_BUFFER_BIT);
        gl.uniform_matrix4fv_with_f32_array(self.view.as_ref(), false, &look.view);
        gl.uniform3fv_with_f32_array(self.light.as_ref(), &look.light);
        gl.bind_vertex_array(Some(&self.array));
        gl.draw_elements_with_i32(Gl::TRIANGLES, self.count, Gl::UNSIGNED_INT, 0);
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn dots(side: f64) -> u32 {
    side.clamp(1.0, 4096.0) as u32
}

fn program(gl: &Gl) -> Option<WebGlProgram> {
    let program = gl.create_program()?;
    gl.attach_shader(&program, &shader(gl, Gl::VERTEX_SHADER, CORNERS)?);
    gl.attach_shader(&program, &shader(gl, Gl::FRAGMENT_SHADER, DOTS)?);
    gl.link_program(&program);
    let is_linked = gl.get_program_parameter(&program, Gl::LINK_STATUS).as_bool();
    (is_linked == Some(true)).then_some(program)
}

fn shader(gl: &Gl, kind: u32, text: &str) -> Option<WebGlShader> {
    let shader = gl.create_shader(kind)?;
    gl.shader_source(&shader, text);
    gl.compile_shader(&shader);
    let is_compiled = gl.get_shader_parameter(&shader, Gl::COMPILE_STATUS).as_bool();
    (is_compiled == Some(true)).then_some(shader)
}
